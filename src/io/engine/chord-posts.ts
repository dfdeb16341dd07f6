/**
 * The chords of a state on their way between threads. A state goes out up to 30 times a second and
 * looks back on 32 chords, of which one is new at most; the others need not be copied again.
 */
import type { ChordReport } from '../../live/snapshot.ts';

export type ChordPosts = {
  /** Which of the chords of the state before go on: from this one on, so many. */
  readonly from: number;
  readonly count: number;
  /** What follows them. */
  readonly added: readonly ChordReport[];
};

/** The same chord must be the same object in both lists to be recognised. */
export function chordPosts(
  before: readonly ChordReport[],
  now: readonly ChordReport[],
): ChordPosts {
  const [first] = now;
  const from = first === undefined ? -1 : before.indexOf(first);
  if (from < 0) return { from: 0, count: 0, added: now };
  let count = 0;
  while (count < now.length && now[count] === before[from + count]) count += 1;
  return { from, count, added: now.slice(count) };
}

export function withPosts(
  before: readonly ChordReport[],
  { from, count, added }: ChordPosts,
): readonly ChordReport[] {
  return [...before.slice(from, from + count), ...added];
}
