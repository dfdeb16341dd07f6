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
  // Half the letters may differ: 'drop2' → 'drop-2' and 'paly' → 'play', yet 'xyz' → nothing, and
  // the dashes that every option has are no likeness: '--tempo' is not '--help'.
  const most = Math.floor(lettersOf(wanted).length / 2);
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

function lettersOf(word: string): string {
  return word.toLowerCase().replaceAll(/[\s_-]+/g, '');
}

/** Those with all parts of the word in them, whatever stands between; beginnings first. */
function wordsWith(word: string, known: readonly string[]): readonly string[] {
  const parts = word.toLowerCase().split(/[\s_-]+/);
  if (word.length < fewestLetters) return [];
  const holding = known.filter((each) => parts.every((part) => lettersOf(each).includes(part)));
  const isBeginning = (each: string): boolean => lettersOf(each).startsWith(parts[0] ?? '');
  return [...holding.filter(isBeginning), ...holding.filter((each) => !isBeginning(each))];
}
