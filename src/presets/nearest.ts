/**
 * Advice for a misspelt word: the known word with the smallest edit distance (Levenshtein 1966),
 * when it is near enough to be meant. Equal distances: the first of the list.
 */
import { distance } from 'fastest-levenshtein';

/** The nearest known word, or undefined when none is near. Case does not count. */
export function findNearest(word: string, known: readonly string[]): string | undefined {
  const wanted = word.toLowerCase();
  let nearest: string | undefined;
  // Half the letters may differ: 'drop2' → 'drop-2' and 'paly' → 'play', yet 'xyz' → nothing.
  let smallest = Math.floor(wanted.length / 2) + 1;
  for (const candidate of known) {
    const steps = distance(wanted, candidate.toLowerCase());
    if (steps < smallest) {
      nearest = candidate;
      smallest = steps;
    }
  }
  return nearest;
}

/** ` (nearest: 'play')`, or '' when none is near. Goes into a sentence before its full stop. */
export function adviseNearest(word: string, known: readonly string[]): string {
  const nearest = findNearest(word, known);
  return nearest === undefined ? '' : ` (nearest: '${nearest}')`;
}
