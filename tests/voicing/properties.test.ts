/**
 * Every strategy on every root, over the families of chords, bass policies and registers: what it
 * lists is what it claims to be. The checks are written from the definitions (definitions.ts) and
 * from the tables of limits, not with the predicates under test.
 */
import { describe, expect, test } from 'vitest';
import type { Harmony } from '../../src/harmony/chord/palette.ts';
import { candidates, relaxedBy } from '../../src/voicing/choose.ts';
import { strategies } from '../../src/voicing/strategies.ts';
import {
  type BassPolicy,
  bassPolicies,
  type Frame,
  type Strategy,
  strategyIds,
  type Voicing,
} from '../../src/voicing/voicing.ts';
import { definitions } from './definitions.ts';
import { harmonyOf } from './harmonies.ts';

const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const families = [
  ...['', 'm', 'dim', 'aug', 'sus4', 'add9', 'm(add9)', '6', 'm6', '6/9', 'm6/9'],
  ...['maj7', 'maj9', 'maj13', 'maj7(#11)', 'maj7(#5)', 'm7', 'm9', 'm11', 'm7(b5)', 'dim7'],
  ...['m(maj7)', '7', '9', '13', '7(#11)', '7(b5)', '7(#5)', '7(b9)', '7(#9)', '13(b9)'],
  ...['7(#9,b13)', '7(b9,#11)', '7alt', '7sus4', '9sus4', '13sus4', '7sus4(b9)'],
];

/** Registers in which each strategy is at home, low to high. */
const registers: Readonly<Record<string, readonly [number, number]>> = {
  'fourths-and-third': [45, 79],
  polychord: [45, 79],
  'upper-structure': [45, 77],
  spread: [45, 76],
  fifths: [43, 76],
};

function frameFor({ id, voices }: Strategy, policy: BassPolicy, shift = 0): Frame {
  const [lowest, highest] = registers[id] ?? [48, 76];
  const bass = {
    policy,
    lowest: 28,
    highest: 52,
    ...(policy === 'pedal' && { pedal: 36 }),
  };
  return {
    upper: { lowest: lowest + shift, highest: highest + shift },
    bass,
    voices: Math.max(voices[0], Math.min(voices[1], 4)),
  };
}

/**
 * Lowest notes on which intervals of 1 to 11 semitones stand, from a retailer's glossary entry 'Low
 * Interval Limit' (read), and by how much ours go lower: a major third by one semitone, a fifth by
 * three. Beyond an octave, up to a tenth: an octave lower.
 */
const glossary = [52, 51, 48, 47, 45, 35, 37, 41, 41, 41, 41];
const goesLower: Readonly<Record<number, number>> = { 4: 1, 7: 3 };

function limitOf(interval: number): number {
  if (interval > 12 && interval <= 16) return limitOf(interval - 12) - 12;
  return (glossary[interval - 1] ?? 0) - (goesLower[interval] ?? 0);
}

/** True when some pair of notes, lower first, answers true. */
function somePair(notes: readonly number[], isAt: (low: number, high: number) => boolean): boolean {
  return notes.some((low, index) => notes.some((high, other) => other > index && isAt(low, high)));
}

const isMuddy = (notes: readonly number[]): boolean =>
  somePair(notes, (low, high) => low < limitOf(high - low));

const hasMinorNinth = (notes: readonly number[], root: number, hasFlatNinth: boolean): boolean =>
  somePair(
    notes,
    (low, high) =>
      high - low > 12 && (high - low) % 12 === 1 && !(hasFlatNinth && low % 12 === root),
  );

/** A major seventh for a sixth, and the flat seventh that a suspended triad implies. */
function isImplied(above: number, { type }: Harmony['palette']): boolean {
  if (above === 11) return ['6', '13'].includes(type.degreeAt[9] ?? '') && !type.hasSeventh;
  return above === 10 && type.degreeAt.includes('4') && !type.hasSeventh;
}

/** The tones the chord has or may take. */
function isAllowed(note: number, { chord, palette }: Harmony, strategy: string): boolean {
  const above = (note - chord.root + 120) % 12;
  if (((palette.universe >> above) & 1) === 1) return true;
  switch (strategy) {
    case 'hybrid':
      return isImplied(above, palette) || (palette.isDominant && above === 5);
    case 'upper-structure':
      // Altered tensions are open to every dominant; the eleventh and the major seventh to none.
      return isImplied(above, palette) || (palette.isDominant && above !== 5 && above !== 11);
    case 'polychord':
      return isImplied(above, palette) || (palette.isDominant && above === 6);
    case 'cluster':
    case 'fourths-and-third': {
      // The whole scale of a diminished seventh: a whole step above each of its tones.
      const below = palette.type.degreeAt[(above + 10) % 12];
      return palette.type.degreeAt[9] === 'bb7' && below !== undefined;
    }
    default:
      return false;
  }
}

/** What stands in a hybrid's place where there is none: a minor chord's own triad over its root. */
function isSlashChord({ upper, label }: Voicing, root: number): boolean {
  const tones = [...new Set(upper.map((note) => (note - root + 120) % 12))].sort((a, b) => a - b);
  return label.startsWith('slash chord') && ['3 6 10', '3 7 10'].includes(tones.join(' '));
}

function faultsOf(voicing: Voicing, harmony: Harmony, frame: Frame, serving: string): string[] {
  const { upper, notes, bass } = voicing;
  const { root } = harmony.chord;
  const guides = [...Array(12).keys()]
    .filter((tone) => ((harmony.palette.guides >> tone) & 1) === 1)
    .map((tone) => (tone + root) % 12);
  const isPedal = frame.bass.policy === 'pedal';
  const measured = isPedal ? upper : notes;
  const hasFlatNinth = ((harmony.palette.universe >> 1) & 1) === 1;
  const known: readonly (readonly [string, boolean])[] = [
    ['order', notes.every((note, at) => at === 0 || note > (notes[at - 1] ?? 0))],
    [
      'definition',
      definitions[serving]?.({ upper, bass, root, guides }) === true ||
        (serving === 'hybrid' && isSlashChord(voicing, root)),
    ],
    ['tones', upper.every((note) => isAllowed(note, harmony, serving))],
    ['bass', bass === undefined || isPedal || isAllowed(bass, harmony, serving)],
    ['parts', bass === undefined ? notes === upper : notes[0] === bass],
    [
      'register of the upper voices',
      upper.every((note) => note >= frame.upper.lowest && note <= frame.upper.highest),
    ],
    ['register of the bass', bass === undefined || (bass >= 28 && bass <= 52)],
    ['low interval limits', !isMuddy(notes)],
    ['minor ninths', !hasMinorNinth(measured, root, hasFlatNinth)],
  ];
  return known.filter(([, isKept]) => !isKept).map(([name]) => name);
}

function examine(strategy: Strategy, harmony: Harmony, frame: Frame): string[] {
  const list = candidates(strategy.id, harmony, frame);
  if (list.voicings.length === 0) return ['no voicing at all'];
  return list.voicings.flatMap((voicing) => {
    const relaxed = relaxedBy(voicing, list, harmony, frame);
    return faultsOf(voicing, harmony, frame, list.strategy)
      .filter((fault) => !relaxed.includes(fault))
      .map((fault) => `${voicing.notes.join(' ')} (${voicing.label}): ${fault}`);
  });
}

/** Milliseconds; generous, for a busy machine. */
const patience = 60_000;

/** Counted in, so that a sample has every family, with other roots under each policy. */
const rootOf = (index: number): number => Math.floor(index / families.length);
const symbols = roots.flatMap((root) => families.map((family) => `${root}${family}`));

describe.each(strategies.map((strategy) => [strategy.id, strategy] as const))(
  '%s',
  (_id, strategy) => {
    const harmonies = symbols.map((symbol) => [symbol, harmonyOf(symbol, 'thirteenths')] as const);

    test.each(bassPolicies)(
      'is what it claims over roots and families, bass %s',
      (policy) => {
        // Every second chord, the others under the next policy; of a line, which has four basses to
        // each chord, every fifth.
        const place = bassPolicies.indexOf(policy);
        const step = policy === 'line' ? 5 : 2;
        const met = harmonies.filter((_, index) => (index + rootOf(index) + place) % step === 0);
        const faults = met.flatMap(([symbol, harmony]) =>
          examine(strategy, harmony, frameFor(strategy, policy)).map(
            (fault) => `${symbol}: ${fault}`,
          ),
        );
        expect(faults).toEqual([]);
      },
      patience,
    );

    test.each([-9, -4, 5, 12, 24])('and in a register moved by %i semitones', (shift) => {
      const faults = harmonies
        .filter((_, index) => (index + rootOf(index)) % 5 === 0)
        .flatMap(([symbol, harmony]) =>
          examine(strategy, harmony, frameFor(strategy, 'root', shift)).map(
            (fault) => `${symbol}: ${fault}`,
          ),
        );
      expect(faults).toEqual([]);
    });

    test('serves some chord itself, in every number of voices', () => {
      const [fewest, most] = strategy.voices;
      for (let voices = fewest; voices <= most; voices += 1) {
        const frame = { ...frameFor(strategy, 'root'), voices };
        const served = harmonies.filter(([, harmony]) => {
          const list = candidates(strategy.id, harmony, frame);
          return list.strategy === strategy.id && list.voicings[0]?.upper.length === voices;
        });
        expect(served.length, `${voices} voices`).toBeGreaterThan(0);
      }
    });
  },
);

test('every id has its strategy, and every definition is of one', () => {
  expect(strategies.map(({ id }) => id)).toEqual(strategyIds);
  expect(Object.keys(definitions).sort()).toEqual([...strategyIds].sort());
});
