/** Words that explanations share: rows of notes, intervals, degrees as they are spoken. */
import { withArticle } from '../../common/words.ts';
import { isDegree, spokenDegree } from '../../harmony/pitch/degree.ts';

export type ToldNote = { readonly name: string; readonly degree: string };

/** 'C4', 'C4 and E4', 'C4, E4 and G4'. */
export function listed(words: readonly string[]): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** 'F3, A3 and C4 (b3, 5 and b7)'. */
export function withDegrees(notes: readonly ToldNote[]): string {
  const degrees = listed(notes.map(({ degree }) => degree));
  return `${listed(notes.map(({ name }) => name))} (${degrees})`;
}

/** 'the root', 'the b7th'. */
export function spokenTone(degree: string): string {
  if (isDegree(degree)) return `the ${spokenDegree(degree)}`;
  return `the ${degree}${degree === '2' ? 'nd' : 'th'}`;
}

const steps = [
  'unison',
  'minor second',
  'major second',
  'minor third',
  'major third',
  'perfect fourth',
  'augmented fourth',
  'perfect fifth',
  'minor sixth',
  'major sixth',
  'minor seventh',
  'major seventh',
  'octave',
];

/**
 * 'perfect fourths', or from the lowest up 'a perfect fourth and an augmented fourth'. By what sounds:
 * a stack of fourths is one however its notes have to be spelled.
 * @param names of some distances where they are called otherwise.
 */
export function stepsInWords(
  semitones: readonly number[],
  names: Readonly<Record<number, string>> = {},
): string {
  const called = semitones.map((each) => names[each] ?? steps[each] ?? `${each} semitones`);
  const [first = ''] = called;
  if (called.length > 1 && called.every((name) => name === first)) return `${first}s`;
  return listed(called.map(withArticle));
}

/** An octave higher: 'A3' → 'A4'. */
export function octaveUp(name: string): string {
  return name.replace(/-?\d+$/u, (octave) => `${Number(octave) + 1}`);
}
