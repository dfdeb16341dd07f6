/** Which chord of a tune stands at a song position, repeats and further choruses counted through. */
import type { Tune } from '../../tune/tune.ts';

export type ByClock = { readonly chord: number; readonly chorus: number };

/** Quarter notes: a chord is played this much before its time, and is that chord. Common practice. */
const early = 0.25;

/** @param position quarter notes from the start of the song, which is that of the tune */
export function chordAt({ chords, length }: Tune, position: number): ByClock | undefined {
  if (length <= 0) return undefined;
  const at = Math.max(0, position) + early;
  const within = at % length;
  // The last that has begun: chords stand in the order of time.
  let [low, high] = [0, chords.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((chords[middle]?.start ?? 0) <= within) low = middle + 1;
    else high = middle;
  }
  for (let chord = Math.max(0, low - 1); chord >= 0; chord -= 1) {
    if (chords[chord]?.symbol !== '') return { chord, chorus: Math.floor(at / length) + 1 };
  }
  return undefined;
}
