/**
 * How well a distribution of tones fits each of the 24 keys: Pearson correlation with key profiles
 * (shared/key-profiles.json, sources there). Keys are numbered by tonic, 0–11 major, 12–23 minor.
 */
import data from '../../../shared/key-profiles.json' with { type: 'json' };
import { fifthsOf, pitchClassOfSpelled, type SpelledPitchClass } from '../pitch/pitch-name.ts';
import { type Key, type Mode, makeKey } from './key.ts';

export type ProfileName = keyof typeof data.profiles;

export const keyCount = 24;

/** Less its mean and of length one: a correlation is then a sum of products. */
function normalised(values: readonly number[]): number[] {
  let sum = 0;
  for (const value of values) sum += value;
  const mean = sum / values.length;
  const centred = values.map((value) => value - mean);
  const length = Math.hypot(...centred);
  return length === 0 ? centred : centred.map((value) => value / length);
}

function rotated(profile: readonly number[], tonic: number): number[] {
  return profile.map((_, tone) => profile[(tone - tonic + 12) % 12] ?? 0);
}

function templatesOf(name: ProfileName): number[][] {
  const profile = data.profiles[name];
  return (['major', 'minor'] as const).flatMap((mode) =>
    Array.from({ length: 12 }, (_, tonic) => rotated(normalised(profile[mode]), tonic)),
  );
}

const templates = new Map<ProfileName, number[][]>();

function templatesFor(name: ProfileName): number[][] {
  const known = templates.get(name);
  if (known !== undefined) return known;
  const made = templatesOf(name);
  templates.set(name, made);
  return made;
}

/** Correlation with each key, -1 to 1; `tones`: a weight for each of the twelve pitch classes. */
export function keyCorrelations(tones: readonly number[], name: ProfileName): number[] {
  const heard = normalised(tones);
  // A loop: with every chord, and what was summed by a function was 300 numbers on the heap.
  return templatesFor(name).map((template) => productOf(template, heard));
}

function productOf(one: readonly number[], other: readonly number[]): number {
  let sum = 0;
  for (let tone = 0; tone < one.length; tone += 1) sum += (one[tone] ?? 0) * (other[tone] ?? 0);
  return sum;
}

const tonics: readonly SpelledPitchClass[] = [0, 1, 2, 3, 4, 5, 6].flatMap((letter) =>
  [-1, 0, 1].map((accidental) => ({ letter, accidental })),
);

function plainestKey(pitchClass: number, mode: Mode): Key {
  const [key] = tonics
    .filter((tonic) => pitchClassOfSpelled(tonic) === pitchClass)
    .map((tonic) => makeKey(tonic, mode))
    .sort(
      (one, other) =>
        Math.abs(one.fifths) - Math.abs(other.fifths) ||
        fifthsOf(one.tonic) - fifthsOf(other.tonic),
    );
  if (key === undefined) throw new Error(`pitch class ${pitchClass} is not 0–11`);
  return key;
}

/** The 24 keys by number, each spelled with the fewest signs. */
export const keysByNumber: readonly Key[] = Array.from({ length: keyCount }, (_, number) =>
  plainestKey(number % 12, number < 12 ? 'major' : 'minor'),
);
