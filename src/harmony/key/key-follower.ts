/**
 * The key as it is heard, chord by chord: tones present in each chord, older chords fading, fitted
 * to key profiles; a dominant that resolves speaks for its tonic. A new key must beat the present
 * one clearly before it takes over, so that a secondary dominant does not carry it off.
 *
 * Profiles: Temperley's revised ones with presence instead of duration, as his model has it (Music
 * Perception 17, 1999); the ratings of Krumhansl and Kessler stand beside them in the data and do
 * worse here, as they lean to the dominant. Fading, margin and resolution were set on every other
 * movement of the expert annotations in When in Rome (Gotham et al., TISMIR 2023).
 */

import { has, type PitchClassSet } from '../pitch/pitch-class-set.ts';
import type { Neighbour } from '../recognition/context.ts';
import { kindOf } from './function.ts';
import type { Key } from './key.ts';
import { keyCorrelations, keyCount, keysByNumber, type ProfileName } from './key-profile.ts';

export type KeyEstimate = {
  /** Undefined until something has been heard that points to a key. */
  readonly key: Key | undefined;
  /** Correlation of the present key's profile with what was heard, -1 to 1. */
  readonly confidence: number;
  /** Fading count of each pitch class. */
  readonly tones: readonly number[];
  /** Fading evidence of resolutions for each of the 24 keys. */
  readonly resolutions: readonly number[];
  readonly last: Neighbour | undefined;
  /** The key that somebody has set, before it was to be followed. */
  readonly told?: Key;
};

/** Noughts that are kept as the fractions are which they become: no copy is made to tell them apart. */
function nothing(length: number): number[] {
  const weights = Array.from({ length }, () => 0.5);
  for (let place = 0; place < length; place += 1) weights[place] = 0;
  return weights;
}

export const nothingHeard: KeyEstimate = {
  key: undefined,
  confidence: 0,
  tones: nothing(12),
  resolutions: nothing(keyCount),
  last: undefined,
};

/**
 * What a key that somebody has set counts beside what is heard, in correlation. It does not fade: the
 * piece was said to be in it, and comes home to it. Set so that passing dominants and relative keys no
 * longer carry it off and another key is still found (random walks through the chords of keys).
 */
const priorOfSetKey = 0.25;

/** Chords until one counts half. */
const halfLife = 8;
const fading = 0.5 ** (1 / halfLife);
/** In correlation. */
const margin = 0.1;
const resolution = 0.03;
/** Below this nothing heard points to a key. */
const leastCorrelation = 0.5;

/** The key a move resolves to, by number, or undefined. */
export function resolvedKey(
  from: Neighbour | undefined,
  to: Neighbour | undefined,
): number | undefined {
  if (from === undefined || to === undefined || kindOf(from.type) !== 'dominant') return undefined;
  if ((to.root - from.root + 12) % 12 !== 5) return undefined;
  const kind = kindOf(to.type);
  if (kind === 'major' || kind === 'major-seventh') return to.root;
  return kind === 'minor' || kind === 'minor-major' ? 12 + to.root : undefined;
}

function numberOfBest(scoreOf: (number: number) => number): number {
  let best = 0;
  for (let number = 1; number < keyCount; number += 1) {
    if (scoreOf(number) > scoreOf(best)) best = number;
  }
  return best;
}

/** 0–11 major, 12–23 minor. */
export function keyNumber({ pitchClass, mode }: Key): number {
  return pitchClass + (mode === 'minor' ? 12 : 0);
}

/** The estimate of somebody who has been told the key, whatever was heard; spelled as it was told. */
export function withSetKey(estimate: KeyEstimate, key: Key): KeyEstimate {
  const confidence = keyCorrelations(estimate.tones, 'temperley')[keyNumber(key)] ?? 0;
  return { ...estimate, key, told: key, confidence };
}

/** The estimate of somebody who has been told that there is no key. */
export function withoutSetKey({ told: _, ...estimate }: KeyEstimate): KeyEstimate {
  return estimate;
}

/**
 * What is heard of one more chord, without asking which key that is: enough where the key is set, as
 * `withSetKey` tells it.
 */
export function hearChord(
  before: KeyEstimate,
  sounding: PitchClassSet,
  chord: Neighbour | undefined,
): KeyEstimate {
  const resolved = resolvedKey(before.last, chord);
  const { key, confidence, told } = before;
  const tones = faded(before.tones);
  for (let tone = 0; tone < tones.length; tone += 1) {
    if (has(sounding, tone)) tones[tone] = (tones[tone] ?? 0) + 1;
  }
  const resolutions = faded(before.resolutions);
  if (resolved !== undefined) resolutions[resolved] = (resolutions[resolved] ?? 0) + resolution;
  const heard = { key, confidence, tones, resolutions, last: chord ?? before.last };
  return told === undefined ? heard : { ...heard, told };
}

/** A chord later. In a loop over a copy: this is done with every chord that is played. */
function faded(weights: readonly number[]): number[] {
  const later = weights.slice();
  for (let place = 0; place < later.length; place += 1) later[place] = (later[place] ?? 0) * fading;
  return later;
}

/** The estimate after one more chord; `chord` is absent where the notes have no name. */
export function followKey(
  before: KeyEstimate,
  sounding: PitchClassSet,
  chord: Neighbour | undefined,
  profile: ProfileName = 'temperley',
): KeyEstimate {
  const heard = hearChord(before, sounding, chord);
  const { tones, resolutions } = heard;
  const correlations = keyCorrelations(tones, profile);
  const { told } = before;
  const toldNumber = told === undefined ? -1 : keyNumber(told);
  const present = before.key === undefined ? -1 : keyNumber(before.key);
  const scoreOf = (number: number): number =>
    (correlations[number] ?? 0) +
    (resolutions[number] ?? 0) +
    (number === toldNumber ? priorOfSetKey : 0);
  const best = numberOfBest(scoreOf);
  const isClear = present < 0 || scoreOf(best) > scoreOf(present) + margin;
  const chosen = isClear ? best : present;
  const confidence = correlations[chosen] ?? 0;
  const isHeard = present >= 0 || confidence >= leastCorrelation;
  const key = isHeard ? keyOfNumber(chosen, before) : undefined;
  const estimate = { key, confidence, tones, resolutions, last: heard.last };
  return told === undefined ? estimate : { ...estimate, told };
}

/** Spelled as it is, or as it was told. */
function keyOfNumber(number: number, { key, told }: KeyEstimate): Key | undefined {
  if (key !== undefined && keyNumber(key) === number) return key;
  if (told !== undefined && keyNumber(told) === number) return told;
  return keysByNumber[number];
}
