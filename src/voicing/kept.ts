/**
 * Voicings a player has kept: how far each holds, and what it is for a chord that comes. Notes are
 * MIDI note numbers as they were heard; a kept voicing moves with its chord, by the octave that fits
 * the registers.
 */
import type { Chord } from '../harmony/chord/chord.ts';
import type { Harmony } from '../harmony/chord/palette.ts';
import type { Key } from '../harmony/key/key.ts';
import { parseKey } from '../harmony/key/key.ts';
import { type Degree, semitonesOf } from '../harmony/pitch/degree.ts';
import { has, relativeTo, setOfNotes, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import { pitchClassOfSpelled } from '../harmony/pitch/pitch-name.ts';
import { parseSymbol } from '../harmony/symbol/parse-symbol.ts';
import type { Candidates } from './choose.ts';
import { keepsLowIntervalLimits } from './constraints.ts';
import { standingCost } from './leading.ts';
import type { Register } from './register.ts';
import { tendenciesOf } from './tendencies.ts';
import type { Frame, StrategyId, Voicing } from './voicing.ts';

export const keptScopes = ['degree', 'type', 'chord'] as const;
/** At this degree of the key; for this chord type on any root; for only this chord. */
export type KeptScope = (typeof keptScopes)[number];

export type Kept = {
  readonly for: KeptScope;
  /** The chord it was kept for: 'Dm7', and 'C/D' where the bass is none of its tones. */
  readonly chord: string;
  /** The key it stood in, 'C major'; for a degree only. */
  readonly key?: string;
  readonly technique: StrategyId;
  /** What an arranger would call it. */
  readonly label: string;
  /** Absent: it has no bass. */
  readonly bass?: number;
  /** Lowest → highest. */
  readonly upper: readonly number[];
};

type Meant = {
  readonly root: number;
  readonly tones: number;
  /** A bass that is none of the chord's tones, in semitones above the root. */
  readonly foreign: number | undefined;
  readonly key: Key | undefined;
};

const known = new Map<string, Meant | undefined>();

/** What the texts of a kept voicing mean; undefined where they mean nothing. */
function meantBy({ chord, key = '' }: Kept): Meant | undefined {
  const slot = `${chord} in ${key}`;
  if (known.has(slot)) return known.get(slot);
  const symbol = parseSymbol(chord);
  const parsed = key === '' ? undefined : parseKey(key);
  const root = symbol.ok ? pitchClassOfSpelled(symbol.value.root) : 0;
  const meant = symbol.ok
    ? {
        root,
        tones: symbol.value.type.tones,
        foreign:
          symbol.value.bass === undefined
            ? undefined
            : (pitchClassOfSpelled(symbol.value.bass) - root + 12) % 12,
        key: parsed?.ok === true ? parsed.value : undefined,
      }
    : undefined;
  known.set(slot, meant);
  return meant;
}

/** What is wrong with a kept voicing as it stands written; '' when it is in order. No full stop. */
export function keptProblem(kept: Kept): string {
  const symbol = parseSymbol(kept.chord);
  if (!symbol.ok) return symbol.problem;
  if (kept.for === 'degree' && meantBy(kept)?.key === undefined) {
    return `A voicing kept for a degree needs the key it stood in; give 'key', such as "C major"`;
  }
  const notes = kept.bass === undefined ? kept.upper : [kept.bass, ...kept.upper];
  const place = notes.findIndex((note, at) => at > 0 && note <= (notes[at - 1] ?? 0));
  return place < 0 ? '' : 'The notes of a kept voicing run from the lowest to the highest';
}

function foreignBass({ reading, root, bass }: Chord): number | undefined {
  return reading.bassRole === 'foreign' ? (bass - root + 12) % 12 : undefined;
}

/** The same chord type, or this one with more tones stated. */
type Nearness = 'same' | 'grown';

/**
 * Semitones from where it was kept to where the chord is now; undefined: it is not for this chord.
 * @param nearness 'grown': it was kept for fewer tones than the chord has; whether it sounds the others
 * is another matter.
 */
function shiftFor(
  kept: Kept,
  chord: Chord,
  key: Key | undefined,
  nearness: Nearness = 'same',
): number | undefined {
  const meant = meantBy(kept);
  if (meant === undefined || meant.foreign !== foreignBass(chord)) return undefined;
  const { tones } = chord.type;
  const isSame = meant.tones === tones;
  const isMet = nearness === 'same' ? isSame : !isSame && (meant.tones & ~tones) === 0;
  if (!isMet) return undefined;
  const shift = (chord.root - meant.root + 12) % 12;
  switch (kept.for) {
    case 'type':
      return shift;
    case 'chord':
      return shift === 0 ? 0 : undefined;
    case 'degree': {
      if (key === undefined || meant.key === undefined || key.mode !== meant.key.mode) {
        return undefined;
      }
      return (key.pitchClass - meant.key.pitchClass + 12) % 12 === shift ? shift : undefined;
    }
  }
}

/** Whether a kept voicing is for this chord as it is, on its own root. */
export function isKeptFor(kept: Kept, chord: Chord, key: Key | undefined): boolean {
  return shiftFor(kept, chord, key) === 0;
}

/** The narrower the scope, the more it was meant for just this. */
const byScope: readonly KeptScope[] = ['chord', 'degree', 'type'];

function degreeNumber(degree: Degree | undefined): string {
  return degree?.replace(/^[b#]+/u, '') ?? '';
}

/**
 * The same type may have another function where it comes back, and its tones with it: the seventh of a
 * triad on the first degree is none of the triad on the fifth. Such a voice takes the same degree as
 * this chord has it, a semitone beside; where there is none, or another voice is there, it stays.
 */
function asInFunction(upper: readonly number[], { chord, palette }: Harmony): readonly number[] {
  const { universe, degreeAt } = palette;
  const intervalOf = (note: number) => (note - chord.root + 24) % 12;
  const numberOf = (note: number) => degreeNumber(degreeAt[intervalOf(note)]);
  return upper.map((note) => {
    if (has(universe, intervalOf(note))) return note;
    const own = [note - 1, note + 1].find(
      (each) => has(universe, intervalOf(each)) && numberOf(each) === numberOf(note),
    );
    return own === undefined || upper.includes(own) ? note : own;
  });
}

function moved(kept: Kept, shift: number, harmony: Harmony): Voicing {
  const parallel = kept.upper.map((note) => note + shift);
  const upper = kept.for === 'type' ? asInFunction(parallel, harmony) : parallel;
  const bass = kept.bass === undefined ? undefined : kept.bass + shift;
  return {
    bass,
    upper,
    notes: bass === undefined ? upper : [bass, ...upper],
    label: kept.label,
    technique: kept.technique,
    price: 0,
    tendencies: tendenciesOf(upper, harmony),
  };
}

/** True where nothing that is asked for besides stands against it: a melody, a held bass. */
function isFree({ upper, bass }: Voicing, frame: Frame): boolean {
  if (frame.ceiling !== undefined && (upper.at(-1) ?? 0) > frame.ceiling) return false;
  const { written } = frame.bass;
  return written === undefined || bass === undefined || bass % 12 === written;
}

/** Semitones that notes lie outside a register, all together. */
function outside({ lowest, highest }: Register, notes: readonly number[]): number {
  return notes.reduce(
    (sum, note) => sum + Math.max(0, lowest - note) + Math.max(0, note - highest),
    0,
  );
}

/** What an interval too low counts as among the semitones outside a register: our choice. */
const muddy = 6;

function outsideOf({ bass, upper, notes }: Voicing, frame: Frame, isClear: boolean): number {
  const below = bass === undefined ? 0 : outside(frame.bass, [bass]);
  const mud = isClear && !keepsLowIntervalLimits(notes) ? muddy : 0;
  return outside(frame.upper, upper) + below + mud;
}

/**
 * Under the lead that is asked for, in the octave nearest to where it was kept that fits the registers
 * (a tritone away there may be two); where none does, in the nearest of those that fit best.
 */
function places(kept: Kept, shift: number, harmony: Harmony, frame: Frame): Voicing[] {
  const isClear = keepsLowIntervalLimits(moved(kept, 0, harmony).notes);
  const octaves = kept.for === 'chord' ? [0] : [shift, shift - 12, shift - 24, shift + 12];
  const all = octaves
    .map((by) => ({ by, voicing: moved(kept, by, harmony) }))
    .filter(({ voicing: { notes } }) => (notes[0] ?? 0) >= 0 && (notes.at(-1) ?? 0) <= 127)
    .filter(({ voicing: { upper } }) => frame.lead === undefined || upper.at(-1) === frame.lead)
    .map((each) => ({ ...each, away: outsideOf(each.voicing, frame, isClear) }));
  const least = Math.min(...all.map(({ away }) => away));
  const best = all.filter(({ away, voicing }) => away === least && isFree(voicing, frame));
  const nearest = Math.min(...best.map(({ by }) => Math.abs(by)));
  return best.filter(({ by }) => Math.abs(by) === nearest).map(({ voicing }) => voicing);
}

/**
 * A voicing that was kept for a plain chord has grown from it: kept when C was played it may sound C9,
 * and it is what a player of C9 means as well. It has all that this chord states, and no tone beside it.
 * The other way round nothing is known: what was kept for C9 is no voicing of C.
 */
function soundsAll({ upper, notes }: Voicing, { chord, palette }: Harmony): boolean {
  const { degrees, optional } = chord.type;
  const above = (note: number): number => (note - chord.root + 24) % 12;
  const sounding = relativeTo(setOfNotes(notes), chord.root);
  const isBeside = upper.some((note) => !has(palette.universe, above(note)));
  const stated = degrees.filter((degree) => degree !== '1' && !optional.includes(degree));
  return !isBeside && stated.every((degree) => has(sounding, semitonesOf(degree) % 12));
}

type Found = { readonly kept: Kept; readonly shift: number };

/** Of one scope, the last that was kept for just this; else the one that was kept for most of it. */
function foundIn(
  all: readonly Kept[],
  harmony: Harmony,
  key: Key | undefined,
  nearness: Nearness,
): Found | undefined {
  const found = all.flatMap((kept): Found[] => {
    const shift = shiftFor(kept, harmony.chord, key, nearness);
    if (shift === undefined) return [];
    const isFor = nearness === 'same' || soundsAll(moved(kept, shift, harmony), harmony);
    return isFor ? [{ kept, shift }] : [];
  });
  const tonesOf = ({ kept }: Found): number => sizeOf(meantBy(kept)?.tones ?? 0);
  return found.reduce<Found | undefined>(
    (best, each) => (best !== undefined && tonesOf(best) > tonesOf(each) ? best : each),
    undefined,
  );
}

/** What was kept for a chord, as the only list to choose from; undefined: nothing that fits. */
export function keptCandidates(
  all: readonly Kept[] | undefined,
  harmony: Harmony,
  frame: Frame,
  key: Key | undefined,
): Candidates | undefined {
  if (all === undefined || all.length === 0) return undefined;
  for (const nearness of ['same', 'grown'] as const) {
    for (const scope of byScope) {
      const inScope = all.filter((kept) => kept.for === scope);
      const found = foundIn(inScope, harmony, key, nearness);
      const voicings = found && places(found.kept, found.shift, harmony, frame);
      if (found === undefined || voicings === undefined || voicings.length === 0) continue;
      const standing = Float64Array.from(voicings, (each) => standingCost(each, frame));
      return { voicings, standing, fallback: [], strategy: found.kept.technique, isOwn: true };
    }
  }
  return undefined;
}

/** Of the same scope for the same chord: the old gives way to the new. */
function givesWayTo(kept: Kept): (other: Kept) => boolean {
  const meant = meantBy(kept);
  return (other) => {
    const old = meantBy(other);
    if (other.for !== kept.for || old === undefined || meant === undefined) return false;
    if (old.tones !== meant.tones || old.foreign !== meant.foreign) return false;
    if (kept.for === 'type') return true;
    if (kept.for === 'chord') return old.root === meant.root;
    const degree = ({ root, key }: Meant) => (root - (key?.pitchClass ?? 0) + 12) % 12;
    return degree(old) === degree(meant) && old.key?.mode === meant.key?.mode;
  };
}

/** What a voicing that is kept now takes the place of; undefined: of nothing. */
export function replacedBy(kept: Kept, all: readonly Kept[] | undefined): Kept | undefined {
  return all?.find(givesWayTo(kept));
}

/** The list with one more; one of the same scope for the same chord is replaced. */
export function withKept(all: readonly Kept[] | undefined, kept: Kept): readonly Kept[] {
  const isReplaced = givesWayTo(kept);
  return [...(all ?? []).filter((other) => !isReplaced(other)), kept];
}
