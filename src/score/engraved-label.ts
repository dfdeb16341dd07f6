/**
 * A label as it stands under a chord in an engraving: short lines, so that the labels of chords close
 * together stand side by side and not in stairs.
 */

import type { ProgressionChord } from './progression.ts';

/** Letters of a line; a word longer than that has a line of its own. */
const longestLine = 16;
/** A line ends before these rather than anywhere: what belongs together is read together. */
const beginnings: readonly string[] = ['on', 'over', 'with', 'under', 'in', 'and'];

export function labelLines(label: string): readonly string[] {
  const lines: string[] = [];
  let isFresh = true;
  for (const word of label.split(' ').filter(Boolean)) {
    const last = lines.at(-1);
    const longer = `${last ?? ''} ${word}`;
    const isBreak = isFresh || beginnings.includes(word) || longer.length > longestLine;
    if (last === undefined || isBreak) lines.push(word);
    else lines[lines.length - 1] = longer;
    isFresh = word.endsWith(':');
  }
  return lines;
}

/** Letters of the longest line. */
export function labelWidth(label: string): number {
  return labelLines(label).reduce((most, line) => Math.max(most, line.length), 0);
}

type Labelled = Pick<ProgressionChord, 'label' | 'notes' | 'lettersBelow'>;

/** Whether its label is printed: it is another one than before. */
export function isLabelNew({ label, notes }: Labelled, before: Labelled | undefined): boolean {
  return notes.length > 0 && label !== before?.label;
}

/**
 * Letters that each chord of a bar needs for its label; where several are labelled the others get as
 * much, so that the bar stands evenly.
 * @param first the chord before these.
 */
export function labelWidths(
  chords: readonly Labelled[],
  first: Labelled | undefined,
): readonly number[] {
  const isNew = chords.map((chord, place) =>
    isLabelNew(chord, place === 0 ? first : chords[place - 1]),
  );
  const areMany = isNew.filter(Boolean).length > 1;
  return chords.map(({ label, lettersBelow = 0 }, place) =>
    Math.max(areMany || isNew[place] === true ? labelWidth(label) : 0, lettersBelow),
  );
}
