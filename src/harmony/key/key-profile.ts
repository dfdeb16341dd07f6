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
  let squares = 0;
  for (const value of values) squares += (value - mean) ** 2;
  // Divided into a copy in place: this is done with every chord that is played.
  const scaled = values.slice();
  const length = Math.sqrt(squares);
  for (let place = 0; place < scaled.length; place += 1) {
    scaled[place] = length === 0 ? 0 : ((values[place] ?? 0) - mean) / length;
  }
  return scaled;
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

const templatesByName = new Map<ProfileName, number[][]>();

function templatesFor(name: ProfileName): number[][] {
  const known = templatesByName.get(name);
  if (known !== undefined) return known;
  const made = templatesOf(name);
  templatesByName.set(name, made);
  return made;
}

const uncorrelated: readonly number[] = Array.from({ length: keyCount }, () => Number.NaN);

/** Correlation with each key, -1 to 1; `tones`: a weight for each of the twelve pitch classes. */
export function keyCorrelations(tones: readonly number[], name: ProfileName): number[] {
  const heard = normalised(tones);
  const templates = templatesFor(name);
  // Loops over a copy of fractions: with every chord, and each sum that a function gives back, or
  // that an array of whole numbers is to take, was a number of its own on the heap.
  const correlations = uncorrelated.slice();
  for (let key = 0; key < keyCount; key += 1) {
    const template = templates[key] ?? uncorrelated;
    let sum = 0;
    for (let tone = 0; tone < 12; tone += 1) sum += (template[tone] ?? 0) * (heard[tone] ?? 0);
    correlations[key] = sum;
  }
  return correlations;
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
