/**
 * How the signs of a bar share its beats where nothing counts them: evenly, or where that leaves
 * beats over, with one more for each of the first. Common practice, no source.
 */

import { exactly } from './exactly.ts';

/** A beat is cut into so many parts at the most. */
const mostParts = 4;

/** Beats of each of `count` signs; undefined when they do not fit. */
export function splitBeats(count: number, beats: number): readonly number[] | undefined {
  if (count === 0) return [];
  if (count > beats) {
    const parts = count / beats;
    const isPossible = Number.isInteger(parts) && parts <= mostParts;
    return isPossible ? new Array(count).fill(exactly(1 / parts)) : undefined;
  }
  const least = Math.floor(beats / count);
  const over = beats - least * count;
  return Array.from({ length: count }, (_, place) => least + (place < over ? 1 : 0));
}

/** Beats of each sign of a group that shares one beat; undefined when they are too many. */
export function splitBeat(count: number): readonly number[] | undefined {
  return count >= 1 && count <= mostParts ? new Array(count).fill(exactly(1 / count)) : undefined;
}
