/**
 * Advice for a misspelt word: the known words with the smallest edit distance (Levenshtein 1966),
 * when they are near enough to be meant; else those that have the word in them.
 */
import { distance } from 'fastest-levenshtein';

/** The nearest known word, or undefined when none is near. Case does not count. */
export function findNearest(word: string, known: readonly string[]): string | undefined {
  return nearestOf(word, known)[0];
}

/** All that are equally near. */
function nearestOf(word: string, known: readonly string[]): readonly string[] {
  const wanted = word.toLowerCase();
  // Half the letters may differ: 'drop2' → 'drop-2' and 'paly' → 'play', yet 'xyz' → nothing.
  const most = Math.floor(wanted.length / 2);
  const steps = known.map((each) => distance(wanted, each.toLowerCase()));
  const smallest = steps.reduce((least, each) => Math.min(least, each), most + 1);
  return smallest > most ? [] : known.filter((_, place) => steps[place] === smallest);
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
  const near = nearestOf(word, words);
  const found = near.length === 0 ? wordsWith(word, words) : near;
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
