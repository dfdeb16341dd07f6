/**
 * How far sorted voices move. Motion as the sum of distances between sorted voices: D. Tymoczko,
 * 'The Geometry of Musical Chords', Science 313 (2006): efficient, and free of crossings when sorted
 * voices are paired.
 */

/** What a voice that splits from or merges into its neighbour adds to its distance, in semitones. */
const splitCost = 2;

/**
 * Semitones moved in all between two sorted lists of notes. Lists of unequal length are matched so
 * that no voices cross and every voice comes from somewhere.
 */
export function motionBetween(from: readonly number[], to: readonly number[]): number {
  if (from.length !== to.length) return unequalMotion(from, to);
  let sum = 0;
  for (let voice = 0; voice < from.length; voice += 1) {
    sum += Math.abs((to[voice] ?? 0) - (from[voice] ?? 0));
  }
  return sum;
}

/** More voices than any keyboard has, and the border of the table. */
const mostVoices = 129;
/** Two rows of the table, kept: this runs for every pair of voicings of unequal size. */
let previous = new Float64Array(mostVoices);
let current = new Float64Array(mostVoices);

/**
 * Dynamic programming over sorted lists: row by row, the cheapest crossing-free matching. The first
 * column is a border that nothing comes from, but for the very first pair.
 */
function unequalMotion(from: readonly number[], to: readonly number[]): number {
  if (from.length === 0 || to.length === 0) return 0;
  previous.fill(Number.POSITIVE_INFINITY, 0, to.length + 1);
  previous[0] = 0;
  for (const here of from) {
    current[0] = Number.POSITIVE_INFINITY;
    for (let column = 0; column < to.length; column += 1) {
      const both = previous[column] ?? 0;
      const merge = (previous[column + 1] ?? 0) + splitCost;
      const split = (current[column] ?? 0) + splitCost;
      current[column + 1] = Math.abs((to[column] ?? 0) - here) + Math.min(both, merge, split);
    }
    [previous, current] = [current, previous];
  }
  return previous[to.length] ?? 0;
}
