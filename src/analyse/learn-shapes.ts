/**
 * Presets of shapes and of kept voicings for a passage that no strategy explains: the degrees that
 * its chords are built from most often, and for each chord type or degree what it sounds as most.
 */
import type { Chord } from '../harmony/chord/chord.ts';
import { createGrower, type Harmony } from '../harmony/chord/palette.ts';
import { formatKey, type Key } from '../harmony/key/key.ts';
import { formatChord } from '../harmony/symbol/symbol.ts';
import type { Preset } from '../presets/preset.ts';
import type { Kept, KeptScope } from '../voicing/kept.ts';
import { shapeOf } from '../voicing/shape-of.ts';
import { strategyById } from '../voicing/strategies.ts';
import { countedBy, mostOf } from './counts.ts';
import type { DescribedChord } from './describe.ts';
import { registerUsed } from './learn-registers.ts';
import { overItsRoot, plainChordOf } from './plain-chord.ts';

/** Shapes that compete in one preset, at most. */
const mostShapes = 4;
/** Characters that the field of a preset has room for. */
const longest = 200;

/** '1 b3 b7' and '1 3 6' are one shape: on every chord each degree is that chord's own. */
function plainShape(text: string): string {
  return text.replaceAll(/[#b]+(?=\d)/gu, '').replaceAll(/\b6\b/gu, '7');
}

function commonestIn(texts: readonly string[]): string {
  return mostOf(countedBy(texts, (text) => text))[0];
}

function allNotes({ notes }: DescribedChord): readonly number[] {
  return notes.map(({ midi }) => midi);
}

/** Degrees from the lowest up, an apostrophe for each octave more, no bass told apart. */
function degreesOf(notes: readonly number[], harmony: Harmony): string {
  const { text, hasBass } = shapeOf(notes, harmony);
  const [first, second, ...others] = text.replace(' / ', ' ').split(' ');
  const step = (notes[1] ?? 0) - (notes[0] ?? 0);
  const octaves = hasBass ? "'".repeat(Math.floor((step - 1) / 12)) : '';
  return [first, `${second}${octaves}`, ...others].join(' ');
}

/**
 * Degrees of the upper voices, or with the bass of all, the most frequent first, those that differ in
 * accidentals alone as one, as it is written most often.
 */
function shapesIn(
  chords: readonly DescribedChord[],
  key: Key | undefined,
  isWhole: boolean,
): readonly string[] {
  const grow = createGrower(key, 'thirteenths', {});
  const alike = new Map<string, string[]>();
  for (const heard of chords) {
    const voices = isWhole ? allNotes(heard) : heard.upper;
    if (voices.length < 2) continue;
    const text = degreesOf(voices, grow(heard.chord));
    const own = alike.get(plainShape(text)) ?? [];
    own.push(text);
    alike.set(plainShape(text), own);
  }
  return [...alike.values()].sort((one, other) => other.length - one.length).map(commonestIn);
}

function withShapes(base: Preset, shape: string): Preset[] {
  const { parallel: _, ...rest } = base;
  const grown: Preset = { ...rest, growth: 'thirteenths', shape };
  return [
    { ...grown, movement: 'taken' },
    { ...grown, movement: 'led' },
  ];
}

/** What is alike for a scope: a type, or a degree of the key. */
function slotOf({ chord }: DescribedChord, scope: KeptScope, key: Key | undefined): string {
  const type = plainChordType(chord);
  if (scope === 'type' || key === undefined) return type;
  return `${(chord.root - key.pitchClass + 12) % 12} ${type}`;
}

function plainChordType(chord: DescribedChord['chord']): string {
  return chord.type.id;
}

/** A voicing as it stands over its root, whatever the root; octaves are part of it. */
function standing({ upper, bass, chord }: DescribedChord): string {
  const above = (note: number): number => note - chord.root;
  const lowest = above(upper[0] ?? 0);
  const octave = Math.floor(lowest / 12) * 12;
  const under = bass === undefined ? '' : above(bass) - octave;
  return `${under} / ${upper.map((note) => above(note) - octave).join(' ')}`;
}

type Group = { readonly chord: DescribedChord; readonly count: number };

/** Of each slot what it sounds as most. */
function commonest(
  chords: readonly DescribedChord[],
  scope: KeptScope,
  key: Key | undefined,
): ReadonlyMap<string, Group> {
  const slots = new Map<string, Map<string, Group>>();
  for (const chord of chords) {
    const slot = slotOf(chord, scope, key);
    const own = slots.get(slot) ?? new Map<string, Group>();
    slots.set(slot, own);
    const known = own.get(standing(chord));
    own.set(standing(chord), { chord: known?.chord ?? chord, count: (known?.count ?? 0) + 1 });
  }
  return new Map(
    [...slots].map(([slot, own]) => {
      const groups = [...own.values()].sort((one, other) => other.count - one.count);
      return [slot, groups[0] as Group] as const;
    }),
  );
}

function keptFrom(
  heard: DescribedChord,
  chord: Chord,
  scope: KeptScope,
  strategy: Preset['strategy'],
  key: Key | undefined,
): Kept {
  const { bass, upper, technique, label } = heard;
  return {
    for: scope,
    chord: formatChord(overItsRoot(chord), key),
    ...(scope === 'degree' && key !== undefined && { key: formatKey(key) }),
    technique: technique === 'none' ? strategy : technique,
    label,
    ...(bass !== undefined && { bass }),
    upper,
  };
}

/** Of each chord: whether the others of its slot would give it. A voicing of one chord says nothing. */
function sureness(
  chords: readonly DescribedChord[],
  groups: ReadonlyMap<string, Group>,
  scope: KeptScope,
  key: Key | undefined,
): number {
  const right = chords.filter((chord) => {
    const group = groups.get(slotOf(chord, scope, key));
    return group !== undefined && group.count > 1 && standing(group.chord) === standing(chord);
  });
  return right.length / Math.max(1, chords.length);
}

/** What stands in for shapes with a bass among their voices. */
const wholeStrategy = 'spread';

/**
 * Bass and voices above it as one shape, such as 1 3 7 9: where the bass goes with them at one distance,
 * its register tells nothing that theirs does not.
 */
function wholeShapes(
  base: Preset,
  chords: readonly DescribedChord[],
  key: Key | undefined,
): readonly Preset[] {
  const voices = Math.max(...chords.map(({ notes }) => notes.length));
  const [fewest, most] = strategyById(wholeStrategy).voices;
  const isEven = chords.every(({ notes }) => notes.length === voices);
  if (!isEven || voices < fewest || voices > most) return [];
  const upper = registerUsed(chords.flatMap(allNotes), strategyById(wholeStrategy).narrowestUpper);
  const { block: _, spread: __, bass, ...rest } = base;
  const { lowest, highest } = bass;
  const whole: Preset = {
    ...{ ...rest, strategy: wholeStrategy, voices, upper },
    bass: { policy: 'none', lowest, highest },
  };
  const [first] = shapesIn(chords, key, true);
  return first === undefined ? [] : withShapes(whole, first);
}

/**
 * What each chord sounds as most, kept for all that was played of it, tensions too: who plays the C9 of
 * the passage again means what it was there, whatever is kept for a plain C.
 */
export function keptAsPlayed(
  { strategy }: Preset,
  chords: readonly DescribedChord[],
  scope: KeptScope,
  key: Key | undefined,
): readonly Kept[] {
  return [...commonest(chords, scope, key).values()].map(({ chord }) =>
    keptFrom(chord, chord.chord, scope, strategy, key),
  );
}

export type KeptPreset = {
  readonly preset: Preset;
  /** Share of the chords that the others of their type or degree would give. */
  readonly score: number;
};

export function shapedPresets(
  base: Preset,
  chords: readonly DescribedChord[],
  key: Key | undefined,
): { readonly shapes: readonly Preset[]; readonly kept: readonly KeptPreset[] } {
  const shapes = shapesIn(chords, key, false)
    .slice(0, mostShapes)
    .map((_each, more, texts) => texts.slice(0, more + 1).join(' | '))
    .filter((text) => text.length <= longest);
  const scopes: readonly KeptScope[] = key === undefined ? ['type'] : ['type', 'degree'];
  const { parallel: _parallel, ...plain } = base;
  const kept = scopes.map((scope): KeptPreset => {
    const groups = commonest(chords, scope, key);
    const all = [...groups.values()].map(({ chord }) =>
      keptFrom(chord, plainChordOf(chord), scope, base.strategy, key),
    );
    return { preset: { ...plain, kept: all }, score: sureness(chords, groups, scope, key) };
  });
  const all = shapes.flatMap((shape) => withShapes(base, shape));
  return { shapes: [...all, ...wholeShapes(base, chords, key)], kept };
}
