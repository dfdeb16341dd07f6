/**
 * Readings of music in thirds with passing notes: triads and seventh chords only, whatever else
 * sounds belongs to the melody of some voice.
 *
 * Weights: a multinomial logistic model over 12 roots and 10 chord types, each sonority weighing the
 * same, fitted to one half of the distinct sonorities of the Bach Choral Harmony data set (Radicioni and
 * Esposito, doi 10.24432/C5B61F) and of expert annotations of tonal works (When in Rome, Gotham et al.,
 * TISMIR 2023). The other half, which the tests score alone, are those whose tones above the bass, as a
 * mask with bit 0 for the bass, times 2654435761 have bit 16 set. 'whole' was raised by hand (from 0.24),
 * so that a chord that sounds alone is read as itself, and the sixth chords, which the model does not
 * know, stand where a context that wants them finds them.
 */
import { type ChordType, chordType } from '../chord/chord-type.ts';
import { has, type PitchClassSet, relativeTo, sizeOf } from '../pitch/pitch-class-set.ts';
import { omittedFrom, type Reading } from './reading.ts';

const weights = {
  missing: { root: -0.85, third: -1.29, fifth: -1.02, seventh: -1.33 },
  stray: -1.24,
  furtherStray: -0.51,
  strayNinth: 1.28,
  strayFourth: 0.67,
  /** The fourth sounds in place of the third. */
  suspended: 1.12,
  bass: { root: 1.01, third: 0.15, fifth: -0.51, seventh: -0.46, stray: 0 },
  whole: 3,
} as const;

const types: readonly { readonly type: ChordType; readonly prior: number }[] = [
  { type: chordType('major'), prior: 0 },
  { type: chordType('minor'), prior: -0.69 },
  { type: chordType('diminished'), prior: -2.0 },
  { type: chordType('augmented'), prior: -3.47 },
  { type: chordType('dominant-seventh'), prior: -1.19 },
  { type: chordType('minor-seventh'), prior: -1.82 },
  { type: chordType('major-seventh'), prior: -4.68 },
  { type: chordType('half-diminished'), prior: -2.27 },
  { type: chordType('diminished-seventh'), prior: -2.61 },
  { type: chordType('minor-major-seventh'), prior: -4.61 },
  { type: chordType('major-sixth'), prior: -6 },
  { type: chordType('minor-sixth'), prior: -3 },
];

const places = ['root', 'third', 'fifth', 'seventh'] as const;

const ninth = 1 << 2;
const fourth = 1 << 5;

function tonesOf(type: ChordType): number[] {
  return type.degrees.map((degree) => type.degreeAt.indexOf(degree));
}

const tones = types.map(({ type }) => tonesOf(type));

function missingScore(own: readonly number[], fromRoot: PitchClassSet): number {
  let score = 0;
  for (const [index, place] of places.entries()) {
    const tone = own[index];
    if (tone !== undefined && !has(fromRoot, tone)) score += weights.missing[place];
  }
  const third = own[1] ?? 0;
  if (!has(fromRoot, third) && (fromRoot & fourth) !== 0) score += weights.suspended;
  return score;
}

function strayScore(strays: PitchClassSet): number {
  const count = sizeOf(strays);
  let score = count * weights.stray + Math.max(0, count - 1) * weights.furtherStray;
  if ((strays & ninth) !== 0) score += weights.strayNinth;
  if ((strays & fourth) !== 0) score += weights.strayFourth;
  return score;
}

function bassScore(own: readonly number[], bassFromRoot: number): number {
  const place = places[own.indexOf(bassFromRoot)];
  return place === undefined ? weights.bass.stray : weights.bass[place];
}

function readAs(index: number, set: PitchClassSet, root: number): Reading | undefined {
  const row = types[index];
  const own = tones[index];
  if (row === undefined || own === undefined) return undefined;
  const { type, prior } = row;
  const fromRoot = relativeTo(set, root);
  if ((fromRoot & type.tones) === 0) return undefined;
  const strays = fromRoot & ~type.tones;
  const isWhole = fromRoot === type.tones;
  const bassFromRoot = (12 - root) % 12;
  const score =
    prior +
    missingScore(own, fromRoot) +
    strayScore(strays) +
    bassScore(own, bassFromRoot) +
    (isWhole ? weights.whole : 0);
  const bassRole = has(type.tones, bassFromRoot) ? 'inversion' : 'foreign';
  return {
    kind: 'chord',
    type,
    rootAboveBass: root,
    bassRole: root === 0 ? 'root' : bassRole,
    omitted: omittedFrom(type, fromRoot),
    isHybrid: false,
    score,
  };
}

const kept = 8;
/** By set, and whether the bass is one of its tones. */
const table = new Map<number, readonly Reading[]>();

/**
 * Best first. `relativeSet` counts from the bass; bit 0 is clear where the bass is heard but is not
 * among the notes of the chord's row.
 */
export function choraleReadings(relativeSet: PitchClassSet): readonly Reading[] {
  const known = table.get(relativeSet);
  if (known !== undefined) return known;
  const found: Reading[] = [];
  for (let index = 0; index < types.length; index += 1) {
    for (let root = 0; root < 12; root += 1) {
      const reading = readAs(index, relativeSet, root);
      if (reading !== undefined) found.push(reading);
    }
  }
  const readings = found.sort((one, other) => other.score - one.score).slice(0, kept);
  table.set(relativeSet, readings);
  return readings;
}
