/**
 * The key of a whole passage: the tones of its chords, each chord counting once, fitted to key
 * profiles; dominants that resolve, the first and the last chord, and the key the music names itself
 * speak for a key as well. Profiles as in key-follower.ts; what the others count beside a
 * correlation: common practice, no source.
 */
import type { Chord } from '../harmony/chord/chord.ts';
import { kindOf } from '../harmony/key/function.ts';
import type { Key } from '../harmony/key/key.ts';
import { keyNumber, resolvedKey } from '../harmony/key/key-follower.ts';
import { keyCorrelations, keysByNumber } from '../harmony/key/key-profile.ts';
import { has, type PitchClassSet } from '../harmony/pitch/pitch-class-set.ts';

export type HeardTones = { readonly tones: PitchClassSet; readonly chord: Chord };

/** In correlation. C major is what files say that say nothing. */
const worth = {
  resolutions: 0.3,
  last: 0.32,
  first: 0.12,
  both: 0.15,
  signature: 0.2,
  plainSignature: 0.03,
} as const;
/** Below this nothing points to a key. */
const leastCorrelation = 0.4;

const minorKinds: readonly string[] = ['minor', 'minor-major'];
const majorKinds: readonly string[] = ['major', 'major-seventh'];

/** The key whose tonic chord this is, or undefined. */
function tonicKey({ root, type }: Chord): number | undefined {
  const kind = kindOf(type);
  if (majorKinds.includes(kind)) return root;
  return minorKinds.includes(kind) ? root + 12 : undefined;
}

export type KeyFound = {
  readonly key: Key;
  /** In correlation: by so much it is nearer than the next. */
  readonly lead: number;
};

/** Undefined where nothing points to one. */
export function wholeKey(
  heard: readonly HeardTones[],
  signature: Key | undefined,
): KeyFound | undefined {
  const counts = new Array<number>(12).fill(0);
  const spoken = new Array<number>(keysByNumber.length).fill(0);
  const speak = (spokenFor: number | undefined, points: number): void => {
    if (spokenFor !== undefined) spoken[spokenFor] = (spoken[spokenFor] ?? 0) + points;
  };
  let dominants = 0;
  heard.forEach(({ tones, chord }, place) => {
    for (let tone = 0; tone < 12; tone += 1)
      if (has(tones, tone)) counts[tone] = (counts[tone] ?? 0) + 1;
    if (resolvedKey(heard[place - 1]?.chord, chord) !== undefined) dominants += 1;
  });
  heard.forEach(({ chord }, place) => {
    const resolved = resolvedKey(heard[place - 1]?.chord, chord);
    speak(resolved, worth.resolutions / Math.max(1, dominants));
  });
  const [first, last] = [heard[0], heard.at(-1)];
  if (first !== undefined) speak(tonicKey(first.chord), worth.first);
  if (last !== undefined) speak(tonicKey(last.chord), worth.last);
  if (first !== undefined && last !== undefined && tonicKey(first.chord) === tonicKey(last.chord)) {
    speak(tonicKey(last.chord), worth.both);
  }
  if (signature !== undefined) {
    const isPlain = signature.fifths === 0 && signature.mode === 'major';
    speak(keyNumber(signature), isPlain ? worth.plainSignature : worth.signature);
  }
  const correlations = keyCorrelations(counts, 'temperley');
  let best = 0;
  let most = Number.NEGATIVE_INFINITY;
  let next = Number.NEGATIVE_INFINITY;
  correlations.forEach((correlation, number) => {
    const score = correlation + (spoken[number] ?? 0);
    if (score > most) {
      next = most;
      most = score;
      best = number;
    } else next = Math.max(next, score);
  });
  if (most < leastCorrelation) return undefined;
  const isNamed = signature !== undefined && keyNumber(signature) === best;
  const key = isNamed ? signature : keysByNumber[best];
  return key && { key, lead: most - next };
}
