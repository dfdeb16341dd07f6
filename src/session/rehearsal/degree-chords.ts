/**
 * The computer keyboard as a player: chords on the degrees of a key, of a chosen type and inversion.
 * Pure: notes are MIDI note numbers, lowest first, from C4 (60) upwards.
 */
import type { Key } from '../../harmony/key/key.ts';
import { triadOnDegree } from '../../harmony/key/scale-degree.ts';

/** Semitones above the root; undefined: as the key has it. Definitions of the chord types. */
export const chordTypes = [
  { name: 'triads', intervals: undefined, hasSeventh: false },
  { name: 'sevenths', intervals: undefined, hasSeventh: true },
  { name: 'major', intervals: [0, 4, 7] },
  { name: 'minor', intervals: [0, 3, 7] },
  { name: 'dominant seventh', intervals: [0, 4, 7, 10] },
  { name: 'major seventh', intervals: [0, 4, 7, 11] },
  { name: 'minor seventh', intervals: [0, 3, 7, 10] },
  { name: 'half-diminished', intervals: [0, 3, 6, 10] },
  { name: 'diminished', intervals: [0, 3, 6] },
  { name: 'augmented', intervals: [0, 4, 8] },
  { name: 'suspended fourth', intervals: [0, 5, 7] },
] as const;

const inversions = ['root position', '1st inversion', '2nd inversion', '3rd inversion'] as const;

/** As many as the chord has notes. */
export function inversionsOf(type: number): readonly string[] {
  const { intervals, ...chosen } = chordTypes[type] ?? chordTypes[0];
  const hasSeventh = intervals === undefined && 'hasSeventh' in chosen && chosen.hasSeventh;
  return inversions.slice(0, intervals?.length ?? (hasSeventh ? 4 : 3));
}

/** The seventh above the triad, as the scale has it: the root of the degree before. */
function seventhAbove(key: Key, degree: number, triad: readonly number[]): number {
  const [below = 60] = triadOnDegree(key, ((degree + 5) % 7) + 1);
  const fifth = triad[2] ?? 67;
  return fifth + ((((below - fifth) % 12) + 12) % 12);
}

function inRootPosition(key: Key, degree: number, type: number): readonly number[] {
  const triad = triadOnDegree(key, degree);
  const [root = 60] = triad;
  const chosen = chordTypes[type] ?? chordTypes[0];
  if (chosen.intervals !== undefined) return chosen.intervals.map((interval) => root + interval);
  return chosen.hasSeventh ? [...triad, seventhAbove(key, degree, triad)] : triad;
}

/** `degree` 1–7; `type` and `inversion` are places in the lists above. */
export function chordOnDegree(
  key: Key,
  degree: number,
  type: number,
  inversion: number,
): readonly number[] {
  const notes = inRootPosition(key, degree, type);
  const turned = Math.min(inversion, notes.length - 1);
  return [...notes.slice(turned), ...notes.slice(0, turned).map((note) => note + 12)];
}
