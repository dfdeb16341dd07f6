/**
 * Rootless left-hand grips that have another whole name: 7-9-3-13 of G7 is Fmaj7(#11). In a key, with
 * no bass below, they are what the key says: its dominant, or its tonic with the sixth. From the third
 * (A form) or from the seventh or sixth (B form). Grips that are whole seventh chords (3-5-7-9) keep
 * that name.
 * That there are A and B forms: D. Tymoczko, A Geometry of Music (2011), fig. 10.1.2 (caption read);
 * the rows: from memory, common practice; that the function decides: common practice, no source.
 */

import type { Key } from '../key/key.ts';
import { semitonesOf } from '../pitch/degree.ts';
import type { PitchClass, PitchClassSet } from '../pitch/pitch-class-set.ts';
import type { Reading } from './reading.ts';

const tonesOf = (...tones: readonly number[]): PitchClassSet =>
  tones.reduce((mask, tone) => mask | (1 << tone), 0);

type Grip = {
  /** Semitones above the root. */
  readonly tones: PitchClassSet;
  /** The lowest tone of the A form and of the B form. */
  readonly lowest: readonly number[];
  /** Score points, on the scale of reading-table.ts, where the key has this chord. */
  readonly score: number;
};

const dominant = { lowest: [4, 10], score: 8.3 } as const;
/** 3 13 b7 9, which a minor key has not; 3 13 b7 b9; 3 b13 b7 #9. */
const naturalDominant: Grip = { ...dominant, tones: tonesOf(4, 9, 10, 2) };
const alteredDominants: readonly Grip[] = [
  { ...dominant, tones: tonesOf(4, 9, 10, 1) },
  { ...dominant, tones: tonesOf(4, 8, 10, 3) },
];
const minorTonic: Grip = { tones: tonesOf(3, 7, 9, 2), lowest: [3, 9], score: 6 };
/** From the sixth it is a suspended seventh chord in root position. */
const majorTonic: Grip = { tones: tonesOf(4, 7, 9, 2), lowest: [4], score: 5.2 };

/** By the root's distance above the tonic. */
const grips: Readonly<Record<Key['mode'], Readonly<Record<number, readonly Grip[]>>>> = {
  major: { 0: [majorTonic], 7: [naturalDominant, ...alteredDominants] },
  minor: { 0: [minorTonic], 7: alteredDominants },
};

function soundOf({ type, omitted }: Reading): PitchClassSet {
  return omitted.reduce((mask, degree) => mask & ~(1 << semitonesOf(degree)), type.tones);
}

/** What the key gives a reading of a grip in one hand. `previous`: the root of the chord before. */
export function rootlessScore(
  reading: Reading,
  root: PitchClass,
  key: Key,
  previous: PitchClass | undefined,
): number {
  if (!reading.omitted.includes('1') || reading.kind !== 'chord') return 0;
  // A tonic that has just been heard goes on to something else.
  const above = (root - key.pitchClass + 12) % 12;
  if (above === 0 && previous === root) return 0;
  const lowest = (12 - reading.rootAboveBass) % 12;
  const sound = soundOf(reading);
  const grip = (grips[key.mode][above] ?? []).find(
    ({ tones, lowest: places }) => tones === sound && places.includes(lowest),
  );
  return grip?.score ?? 0;
}
