/**
 * Which of the keys now down are meant as one chord. Knows keys, times and whether a set of notes
 * has a name; decides nothing about voicing.
 *
 * The keys struck within one gesture are read first: alone, or over one old key left lying below
 * them as their bass. When they have no name by themselves and a finger has left the old chord,
 * what stays down of it and what is new are read together. Anything else is melody over a held
 * chord and passes through.
 */
import type { HeldKey } from './held-keys.ts';

/** Keys struck this close together may be one chord, rolled or ragged. Common practice, no source. */
export const gestureMicroseconds = 150_000;

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
  reads: Reads,
): readonly HeldKey[] {
  const [only] = old;
  if (old.length !== 1 || only === undefined) return fresh;
  if (fresh.some((key) => key.note <= only.note)) return fresh;
  const grip = [only, ...fresh];
  return reads(notesOf(grip)) ? grip : fresh;
}

/**
 * The grip the keys in `down` make (waiting, passed through, and those of the chord that sounds),
 * seen at `at`; undefined when what is new should pass through. `isLifted`: a key of the sounding
 * chord has come up since it was read.
 */
export function gripOf(
  down: readonly HeldKey[],
  at: number,
  isLifted: boolean,
  reads: Reads,
): Grip | undefined {
  const fresh = down.filter((key) => at - key.struckAt <= gestureMicroseconds);
  const old = down.filter((key) => key.role === 'chord' && !fresh.includes(key));
  if (reads(notesOf(fresh))) {
    const isSameChord = fresh.some((key) => key.role === 'chord');
    return { keys: withLyingBass(old, fresh, reads), manner: isSameChord ? 'join' : 'strike' };
  }
  if (!isLifted) return undefined;
  const together = [...old, ...fresh];
  return reads(notesOf(together)) ? { keys: together, manner: 'join' } : undefined;
}
