/**
 * Which of the keys now down are meant as one chord. Knows keys, times and whether a set of notes
 * has a name; decides nothing about voicing.
 *
 * The keys struck within one gesture are read first: alone, or over one old key left lying below
 * them as their bass. When they have no name by themselves and a finger has left the old chord,
 * what stays down of it and what is new are read together. Anything else is melody over a held
 * chord and passes through.
 */
import { type PitchClassSet, setOfNotes, sizeOf } from '../harmony/pitch-class-set.ts';
import type { HeldKey } from './held-keys.ts';

/** Keys struck this close together may be one chord, rolled or ragged. Common practice, no source. */
export const gestureMicroseconds = 150_000;
/** So may the keys of a slow roll, while each follows the last within this. Common practice too. */
const rollStepMicroseconds = 90_000;
/** Longer than this is no roll any more but a line. */
const longestRollMicroseconds = 400_000;

/** Fewer different pitch classes are melody, not a chord to voice. */
export const fewestPitchClasses = 3;

export type Reads = (notes: readonly number[]) => boolean;

export type Grip = {
  readonly keys: readonly HeldKey[];
  /** 'join' moves only the voices that differ; 'strike' strikes every voice. */
  readonly manner: 'join' | 'strike';
};

function notesOf(keys: readonly HeldKey[]): number[] {
  return keys.map((key) => key.note);
}

/** The fresh grip with the bass a hand left lying: a single old key beneath it, if it is meant. */
function withLyingBass(
  old: readonly HeldKey[],
  fresh: readonly HeldKey[],
  left: Left | undefined,
  reads: Reads,
): readonly HeldKey[] {
  const [only] = old;
  if (old.length !== 1 || only === undefined) return fresh;
  // As many new keys as the chord before had: the whole hand has moved, and the old key is the last
  // finger of it to come up.
  if (left !== undefined && fresh.length >= left.touch.length) return fresh;
  if (fresh.some((key) => key.note <= only.note)) return fresh;
  const grip = [only, ...fresh];
  return reads(notesOf(grip)) ? grip : fresh;
}

/** What the hand left of the chord that sounds. */
export type Left = {
  /** A key of it has come up since it was read. */
  readonly isLifted: boolean;
  /** The keys it was read from, lifted or not. */
  readonly touch: readonly unknown[];
  /** Their pitch classes. */
  readonly heard: PitchClassSet;
};

/** When the gesture began whose last key was struck at `at`. */
function gestureStart(down: readonly HeldKey[], at: number): number {
  let start = at;
  for (const { struckAt } of [...down].sort((one, other) => other.struckAt - one.struckAt)) {
    if (start - struckAt > rollStepMicroseconds) break;
    if (at - struckAt <= longestRollMicroseconds) start = struckAt;
  }
  return Math.min(start, at - gestureMicroseconds);
}

/**
 * The grip the keys in `down` make (waiting, passed through, and those of the chord that sounds),
 * seen at `at`; undefined when what is new should pass through. `left`: the chord that sounds.
 */
export function gripOf(
  down: readonly HeldKey[],
  at: number,
  left: Left | undefined,
  reads: Reads,
): Grip | undefined {
  // Asked with every key and mostly answered here: a single note need not wait for the rest.
  if (sizeOf(setOfNotes(notesOf(down))) < fewestPitchClasses) return undefined;
  const start = gestureStart(down, at);
  const fresh = down.filter((key) => key.struckAt >= start);
  const old = down.filter((key) => key.role === 'chord' && !fresh.includes(key));
  if (reads(notesOf(fresh))) {
    const isSameChord = fresh.some((key) => key.role === 'chord');
    return {
      keys: withLyingBass(old, fresh, left, reads),
      manner: isSameChord ? 'join' : 'strike',
    };
  }
  if (left?.isLifted !== true) return undefined;
  const together = [...old, ...fresh];
  // A finger that strikes its own chord's tone again wants to be heard, not read.
  if (setOfNotes(notesOf(together)) === left.heard) return undefined;
  return reads(notesOf(together)) ? { keys: together, manner: 'join' } : undefined;
}
