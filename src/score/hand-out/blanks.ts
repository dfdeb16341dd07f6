/** What is left out of a hand-out for the student to fill in; the solutions have it all. */
import { type Progression, plainManner } from '../progression.ts';

export const blankKinds = ['notes', 'names', 'techniques'] as const;
export type BlankKind = (typeof blankKinds)[number];

/** None for what is there to read. */
export type Blanks = readonly BlankKind[];

/** As it is engraved: staves without the notes, the symbols or the labels. */
export function withBlankStaves(progression: Progression, blanks: Blanks): Progression {
  const areNamesBlank = blanks.includes('names');
  const areTechniquesBlank = blanks.includes('techniques');
  const { manner = plainManner, below, name } = progression;
  return {
    ...progression,
    manner: {
      ...manner,
      areNotesBlank: blanks.includes('notes'),
      hasNumerals: manner.hasNumerals && !areNamesBlank,
    },
    chords: progression.chords.map((chord) => ({
      ...chord,
      ...(areNamesBlank && { symbol: '', sounds: '' }),
      ...(areTechniquesBlank && { label: '' }),
    })),
    ...(name !== undefined && { name: areTechniquesBlank ? '' : name }),
    ...(below !== undefined && { below: below.map((each) => withBlankStaves(each, blanks)) }),
  };
}
