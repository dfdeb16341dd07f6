/**
 * What it costs to go from one voicing to the next, in semitones of motion. The live choice takes
 * the cheapest; the terms are few and named so that each can be argued about.
 * Motion as the sum of distances between sorted voices: D. Tymoczko, 'The Geometry of Musical
 * Chords', Science 313 (2006): efficient, and free of crossings when sorted voices are paired.
 */
import type { Frame, Voicing } from './voicing.ts';

/** Weights: upper voices count in full, the bass leaps by nature, the centre only breaks ties. */
export const weights = {
  upperMotion: 1,
  bassMotion: 0.1,
  distanceFromCentre: 0.05,
} as const;

/** What a voice that splits from or merges into its neighbour adds to its distance, in semitones. */
const splitCost = 2;

/**
 * Semitones moved in all between two sorted lists of notes. Lists of unequal length are matched so
 * that no voices cross and every voice comes from somewhere.
 */
export function motionBetween(from: readonly number[], to: readonly number[]): number {
  if (from.length === to.length) {
    let sum = 0;
    for (let voice = 0; voice < from.length; voice += 1) {
      sum += Math.abs((to[voice] ?? 0) - (from[voice] ?? 0));
    }
    return sum;
  }
  return unequalMotion(from, to);
}

/** Dynamic programming over sorted lists: row by row, the cheapest crossing-free matching. */
function unequalMotion(from: readonly number[], to: readonly number[]): number {
  if (from.length === 0 || to.length === 0) return 0;
  let previous: number[] = [];
  from.forEach((here, row) => {
    const current: number[] = [];
    to.forEach((there, column) => {
      const both =
        row === 0 && column === 0 ? 0 : (previous[column - 1] ?? Number.POSITIVE_INFINITY);
      const merge = (previous[column] ?? Number.POSITIVE_INFINITY) + splitCost;
      const split = (current[column - 1] ?? Number.POSITIVE_INFINITY) + splitCost;
      current.push(Math.abs(there - here) + Math.min(both, merge, split));
    });
    previous = current;
  });
  return previous.at(-1) ?? 0;
}

function centroid(notes: readonly number[]): number {
  let sum = 0;
  for (const note of notes) sum += note;
  return sum / Math.max(1, notes.length);
}

/** Cost of sounding `next` after `last`; without a last voicing only price and place count. */
export function costOf(next: Voicing, last: Voicing | undefined, frame: Frame): number {
  const centre = (frame.upper.lowest + frame.upper.highest) / 2;
  const place = Math.abs(centroid(next.upper) - centre) * weights.distanceFromCentre;
  if (last === undefined) return next.price + place + bassPlace(next, frame);
  const bassMotion =
    next.bass === undefined || last.bass === undefined ? 0 : Math.abs(next.bass - last.bass);
  return (
    next.price +
    motionBetween(last.upper, next.upper) * weights.upperMotion +
    bassMotion * weights.bassMotion +
    place
  );
}

function bassPlace(next: Voicing, frame: Frame): number {
  if (next.bass === undefined) return 0;
  const centre = (frame.bass.lowest + frame.bass.highest) / 2;
  return Math.abs(next.bass - centre) * weights.distanceFromCentre;
}
