/**
 * Advice for a misspelt word: the known word with the smallest edit distance (Levenshtein 1966),
 * when it is near enough to be meant (equal distances: the first of the list); else those that have
 * the word in them.
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

/** More would be a list and no advice. */
const mostAdvised = 4;
/** Fewer letters stand in every other word. */
const fewestLetters = 3;

/**
 * ` (nearest: 'play')`, or several, or '' when none is near. Goes into a sentence before its full
 * stop.
 * @param known words, or words with what stands for each of them.
 */
export function adviseNearest(
  word: string,
  known: readonly string[] | ReadonlyMap<string, string>,
): string {
  const meant: ReadonlyMap<string, string> =
    known instanceof Map ? known : new Map([...known].map((each) => [String(each), String(each)]));
  const words = [...meant.keys()];
  const nearest = findNearest(word, words);
  const found = nearest === undefined ? wordsWith(word, words) : [nearest];
  const advised = [...new Set(found.map((each) => meant.get(each) ?? each))].slice(0, mostAdvised);
  if (advised.length === 0) return '';
  return ` (nearest: ${advised.map((each) => `'${each}'`).join(', ')})`;
}

/** Those with all parts of the word in them; beginnings first. */
function wordsWith(word: string, known: readonly string[]): readonly string[] {
  const parts = word.toLowerCase().split(/[\s_-]+/);
  if (word.length < fewestLetters) return [];
  const holding = known.filter((each) => parts.every((part) => each.toLowerCase().includes(part)));
  const isBeginning = (each: string): boolean => each.toLowerCase().startsWith(parts[0] ?? '');
  return [...holding.filter(isBeginning), ...holding.filter((each) => !isBeginning(each))];
}
