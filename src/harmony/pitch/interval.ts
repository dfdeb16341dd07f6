/**
 * Intervals by name, from two notes as they are spelled: letters give the number, semitones the
 * quality. Names above the tenth keep their number ('major 14th'). Source: definition.
 */
import { withArticle } from '../../common/words.ts';

type NamedNote = { readonly midi: number; readonly name: string };

const majorScale = [0, 2, 4, 5, 7, 9, 11] as const;
const numbers = [
  'unison',
  'second',
  'third',
  'fourth',
  'fifth',
  'sixth',
  'seventh',
  'octave',
  'ninth',
  'tenth',
] as const;
/** Steps of which a perfect interval exists. */
const perfect: readonly number[] = [0, 3, 4];

function qualityOf(steps: number, off: number): string {
  if (perfect.includes(steps % 7)) return perfectQualities[off] ?? '';
  return imperfectQualities[off] ?? '';
}

const perfectQualities: Readonly<Record<number, string>> = {
  '-2': 'doubly diminished',
  '-1': 'diminished',
  0: 'perfect',
  1: 'augmented',
  2: 'doubly augmented',
};
const imperfectQualities: Readonly<Record<number, string>> = {
  '-3': 'doubly diminished',
  '-2': 'diminished',
  '-1': 'minor',
  0: 'major',
  1: 'augmented',
  2: 'doubly augmented',
};

/** Counts white keys from C0, by the letter and octave of a name such as 'Eb4'. */
function stepOf(name: string): number {
  const octave = Number(/-?\d+$/u.exec(name)?.[0] ?? 0);
  return octave * 7 + 'CDEFGAB'.indexOf(name.charAt(0));
}

/** 'a perfect fifth', 'an augmented fourth': from the lower note up to the upper one. */
export function intervalName(lower: NamedNote, upper: NamedNote): string {
  const steps = stepOf(upper.name) - stepOf(lower.name);
  const natural = Math.floor(steps / 7) * 12 + (majorScale[((steps % 7) + 7) % 7] ?? 0);
  const quality = qualityOf(steps, upper.midi - lower.midi - natural);
  const number = numbers[steps];
  if (steps < 0 || quality === '') return `${upper.midi - lower.midi} semitones`;
  return withArticle(`${quality} ${number ?? `${steps + 1}th`}`);
}
