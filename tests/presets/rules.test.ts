/**
 * The narrowest registers, counted again from the definitions: a register is wide enough when every
 * chord on every root has a member in it. Definitions: close position and drop 2 as in any arranging
 * text (voices counted from the top), three-part fourths after Pease and Pullig, Modern Jazz
 * Voicings (2001), ch. 5: steps of a fourth, one of them augmented at most.
 */
import { expect, test } from 'vitest';
import { narrowestBass } from '../../src/presets/rules.ts';
import { strategyById } from '../../src/voicing/strategies.ts';
import { harmonyOf } from '../voicing/harmonies.ts';

type Shape = readonly number[];

const triads: readonly Shape[] = [
  [0, 4, 7],
  [0, 3, 7],
  [0, 3, 6],
  [0, 4, 8],
  [0, 5, 7],
];

const seventhsAndSixths: readonly Shape[] = [
  [0, 4, 7, 11],
  [0, 4, 7, 10],
  [0, 3, 7, 10],
  [0, 3, 6, 10],
  [0, 3, 6, 9],
  [0, 3, 7, 11],
  [0, 4, 7, 9],
  [0, 3, 7, 9],
];

/** Chord tones and tensions safe in the commonest scales: Ionian, Mixolydian, Dorian, Locrian. */
const universes: readonly Shape[] = [
  [0, 2, 4, 7, 9],
  [0, 2, 4, 7, 9, 11],
  [0, 2, 4, 7, 9, 10],
  [0, 2, 3, 5, 7, 10],
  [0, 3, 5, 7, 10],
  [0, 3, 5, 6, 8, 10],
];

const closePositions = (chord: Shape): readonly Shape[] =>
  chord.map((_, turn) => {
    const turned = [...chord.slice(turn), ...chord.slice(0, turn).map((tone) => tone + 12)];
    return turned;
  });

const drop2 = ([a = 0, b = 0, c = 0, d = 0]: Shape): Shape => [c - 12, a, b, d];

const fourths = (universe: Shape): readonly Shape[] =>
  universe.flatMap((bottom) =>
    [
      [bottom, bottom + 5, bottom + 10],
      [bottom, bottom + 5, bottom + 11],
      [bottom, bottom + 6, bottom + 11],
    ].filter((stack) => stack.every((tone) => universe.includes(tone % 12))),
  );

const droppedBy =
  (...places: readonly number[]) =>
  (close: Shape): Shape =>
    close
      .map((tone, index) => (places.includes(close.length - index) ? tone - 12 : tone))
      .sort((one, other) => one - other);

const fits = (shape: Shape, root: number, width: number) =>
  [-36, -24, -12, 0, 12, 24].some((octave) =>
    shape.every((tone) => tone + root + octave >= 0 && tone + root + octave <= width),
  );

const narrowest = (families: readonly (readonly Shape[])[]) => {
  const roots = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11];
  let width = 0;
  const isEnough = (shapes: readonly Shape[]) =>
    roots.every((root) => shapes.some((shape) => fits(shape, root, width)));
  while (!families.every(isEnough)) width += 1;
  return width;
};

test('close position', () => {
  const chords = [...triads, ...seventhsAndSixths];
  expect(strategyById('close').narrowestUpper).toBe(narrowest(chords.map(closePositions)));
});

test('drop 2', () => {
  const members = seventhsAndSixths.map((chord) => closePositions(chord).map(drop2));
  expect(strategyById('drop-2').narrowestUpper).toBe(narrowest(members));
});

test('three-part fourths', () => {
  expect(strategyById('fourths').narrowestUpper).toBe(narrowest(universes.map(fourths)));
});

test('a bass of every root', () => {
  expect(narrowestBass).toBe(narrowest([[[0]]]));
});

test('drop 3, and drop 2 and 4', () => {
  const sevenths = (...places: readonly number[]) =>
    seventhsAndSixths.map((chord) => closePositions(chord).map(droppedBy(...places)));
  expect(strategyById('drop-3').narrowestUpper).toBe(narrowest(sevenths(3)));
  expect(strategyById('drop-2-4').narrowestUpper).toBe(narrowest(sevenths(2, 4)));
});

test('open position of three voices', () => {
  const opened = triads.map((chord) => closePositions(chord).map(droppedBy(2)));
  expect(strategyById('open').narrowestUpper).toBe(narrowest(opened));
});

const suffixes = [
  '',
  'm',
  'dim',
  'aug',
  'sus4',
  '6',
  'm6',
  'maj7',
  '7',
  'm7',
  'm7(b5)',
  'dim7',
  'm(maj7)',
];

/** The narrowest register in which all that the strategy lists on some octave stands on every one. */
const narrowestOf = (strategy: ReturnType<typeof strategyById>): number => {
  const growth = strategy.needsTensions ? 'thirteenths' : 'sevenths';
  const frame = {
    upper: { lowest: 24, highest: 110 },
    bass: { policy: 'none' as const, lowest: 33, highest: 48 },
    voices: strategy.voices[0],
  };
  // The diminished triad above a minor sixth needs two semitones more; where they are not, another
  // technique stands in for that chord, and no preset is refused for it.
  const isSpared = (suffix: string): boolean => strategy.id === 'polychord' && suffix === 'm6';
  const widths = suffixes.flatMap((suffix) => {
    if (isSpared(suffix)) return [];
    const members = strategy.members(harmonyOf(`C${suffix}`, growth), frame);
    if (members.length === 0) return [];
    // By transposition, C over every lowest note is every root over one.
    return Array.from({ length: 12 }, (_, lowest) => {
      const above = members.filter(({ upper }) => (upper[0] ?? 0) >= 48 + lowest);
      return Math.min(...above.map(({ upper }) => (upper.at(-1) ?? 0) - 48 - lowest));
    });
  });
  return Math.max(...widths);
};

test.each([
  'close',
  'shell',
  'rootless',
  'fourths-and-third',
  'fifths',
  'hybrid',
  'upper-structure',
  'polychord',
  'cluster',
  'block',
] as const)('%s, counted over its own members', (id) => {
  expect(strategyById(id).narrowestUpper).toBe(narrowestOf(strategyById(id)));
});
