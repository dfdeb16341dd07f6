/** Words that explanations share: rows of notes, intervals, degrees as they are spoken. */
import { isDegree, spokenDegree } from '../../harmony/pitch/degree.ts';
import { intervalName } from '../../harmony/pitch/interval.ts';

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

/** 'perfect fourths', or from the lowest up 'a perfect fourth and an augmented fourth'. */
export function stepsInWords(notes: readonly (ToldNote & { readonly midi: number })[]): string {
  const names = notes.slice(1).map((upper, place) => intervalName(notes[place] ?? upper, upper));
  const [first = ''] = names;
  const isOne = names.length > 1 && names.every((name) => name === first);
  return isOne ? `${first.replace(/^an? /u, '')}s` : listed(names);
}

/** An octave higher: 'A3' → 'A4'. */
export function octaveUp(name: string): string {
  return name.replace(/-?\d+$/u, (octave) => `${Number(octave) + 1}`);
}
