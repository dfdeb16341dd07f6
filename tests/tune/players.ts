/**
 * Players of a tune, simulated: they leave out the root or the fifth, play wrong chords, skip some,
 * replace others, begin again, jump to another section. Every chance is drawn from a seed.
 */
import { has, membersOf, setOfNotes, transpose } from '../../src/harmony/pitch/pitch-class-set.ts';
import { pitchClassOfSpelled } from '../../src/harmony/pitch/pitch-name.ts';
import { bassOf, type ChordSymbol, soundOf } from '../../src/harmony/symbol/chord-symbol.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import type { Held } from '../../src/tune/likeness.ts';
import type { Tune, TuneChord } from '../../src/tune/tune.ts';

/** What a player did, and where in the tune that is. */
export type Stroke = Held & { readonly at: number; readonly truth: number; readonly what: string };

export type Manner = {
  /** Shares of chords. */
  readonly wrong: number;
  readonly skipped: number;
  readonly substituted: number;
  /** Struck twice. */
  readonly again: number;
  readonly choruses: number;
  /** Once, from within the first section to the second. */
  readonly jumps: boolean;
  /** Steps through the tune without any time. */
  readonly isUntimed: boolean;
};

export function chanceOf(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    // Mulberry32.
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

export function symbolOf(text: string): ChordSymbol {
  const parsed = parseSymbol(text);
  if (!parsed.ok) throw new Error(parsed.problem);
  return parsed.value;
}

function held(set: number, lowest: number): Held {
  return { set, lowest };
}

/** As a hand may hold it: whole, as its triad, without its fifth, without its root, in any inversion. */
function gripOf(symbol: ChordSymbol, chance: () => number): Held {
  const root = pitchClassOfSpelled(symbol.root);
  const sound = soundOf(symbol);
  const tones = membersOf(symbol.type.tones);
  const kind = chance();
  const fifth = tones.find((tone) => tone === 6 || tone === 7 || tone === 8);
  let set = sound;
  if (kind < 0.35) set = transpose(setOfNotes(tones.filter((tone) => tone <= 8).slice(0, 3)), root);
  else if (kind < 0.5 && fifth !== undefined && tones.length > 3)
    set &= ~(1 << ((root + fifth) % 12));
  else if (kind < 0.6 && tones.length > 3) set &= ~(1 << root);
  const members = membersOf(set);
  const bass = bassOf(symbol);
  const isInverted = !has(set, bass) || chance() < 0.4;
  const lowest = isInverted ? (members[Math.floor(chance() * members.length)] ?? bass) : bass;
  return held(set, lowest);
}

function wrongGrip(symbol: ChordSymbol, chance: () => number): Held {
  for (;;) {
    const root = Math.floor(chance() * 12);
    const third = chance() < 0.5 ? 3 : 4;
    const set = setOfNotes([root, root + third, root + 7]);
    if ((set & ~soundOf(symbol)) !== 0) return held(set, root);
  }
}

/** A dominant a tritone away, or the chord a third above or below: common practice, no source. */
function substituteFor(symbol: ChordSymbol, chance: () => number): Held {
  const root = pitchClassOfSpelled(symbol.root);
  const { tones } = symbol.type;
  if (has(tones, 10) && has(tones, 4)) {
    return held(setOfNotes([6, 10, 13, 16].map((tone) => root + tone)), (root + 6) % 12);
  }
  const isMinor = has(tones, 3);
  const third = isMinor ? [3, 7, 10] : chance() < 0.5 ? [9, 12, 16] : [4, 7, 11];
  const notes = third.map((tone) => root + tone);
  return held(setOfNotes(notes), (notes[0] ?? 0) % 12);
}

/** The chords in the order that this player comes to them. */
function courseOf(
  tune: Tune,
  { choruses, jumps }: Manner,
  chance: () => number,
): readonly number[] {
  const all = tune.chords.flatMap(({ symbol }, index) => (symbol === '' ? [] : [index]));
  const first = tune.chords[0]?.section;
  const to = tune.chords.findIndex(({ section }) => section !== first);
  // Anywhere in the section before, but for its first bars.
  const from = Math.round(to * (0.3 + 0.6 * chance()));
  const jumped = jumps && to >= 0 ? all.filter((index) => index < from || index >= to) : all;
  return Array.from({ length: choruses }, (_, chorus) => (chorus === 0 ? jumped : all)).flat();
}

function chordAt({ chords }: Tune, index: number): TuneChord {
  const chord = chords[index];
  if (chord === undefined) throw new Error(`the tune has no chord ${index}`);
  return chord;
}

function slipOf({ wrong, substituted, skipped }: Manner, draw: number) {
  if (draw < wrong) return 'wrong';
  if (draw < wrong + substituted) return 'substituted';
  return draw < wrong + substituted + skipped ? 'skipped' : 'played';
}

export function playThrough(tune: Tune, manner: Manner, chance: () => number): readonly Stroke[] {
  const strokes: Stroke[] = [];
  const quarter = 60_000_000 / (80 + chance() * 100);
  let at = 1_000_000;
  for (const truth of courseOf(tune, manner, chance)) {
    const chord = chordAt(tune, truth);
    const length = manner.isUntimed ? 300_000 : chord.length * quarter;
    const symbol = symbolOf(chord.symbol);
    const onset = at + (chance() - 0.5) * 0.08 * length;
    const strike = (slip: string, grip: Held, time: number): void => {
      strokes.push({ ...grip, at: Math.round(time), truth, what: slip });
    };
    const what = slipOf(manner, chance());
    if (what === 'wrong') {
      strike('wrong', wrongGrip(symbol, chance), onset);
      if (chance() < 0.5) strike('put right', gripOf(symbol, chance), onset + length * 0.3);
    } else if (what === 'substituted') strike(what, substituteFor(symbol, chance), onset);
    else if (what === 'played') strike(what, gripOf(symbol, chance), onset);
    if (chance() < manner.again) strike('again', gripOf(symbol, chance), at + length * 0.55);
    at += length;
  }
  return strokes;
}
