/**
 * The last chords: as a row, oldest left, as many as fit, the newest always; and as a list for
 * wide terminals, newest first.
 */
import type { ChordReport } from '../live/snapshot.ts';
import { type Look, signsOf } from './look.ts';
import { fill, type Span, widthOf, withAccidentals, wrapWords } from './text.ts';

type Lines = readonly (readonly Span[])[];

function heardName(look: Look, chord: ChordReport): string {
  return withAccidentals(look, chord.heard.symbol) || signsOf(look).dash;
}

function sentName(look: Look, chord: ChordReport): string {
  return withAccidentals(look, chord.sent.symbol) || signsOf(look).dash;
}

const gap = 2;

/** What was heard, and under it what sounded. */
export function chordRow(look: Look, chords: readonly ChordReport[], width: number): Lines {
  const label = ['heard  ', 'sounded'];
  let room = width - 9;
  const heard: Span[] = [];
  const sent: Span[] = [];
  for (const [age, chord] of chords.toReversed().entries()) {
    const names = { heard: heardName(look, chord), sent: sentName(look, chord) };
    const wide = Math.max(widthOf(names.sent), widthOf(names.heard));
    if (wide > room && age > 0) break;
    const cell = Math.min(wide, room);
    const space = age > 0 ? ' '.repeat(gap) : '';
    const tone = age === 0 ? 'strong' : 'plain';
    heard.unshift({ text: fill(look, names.heard, cell) + space, tone: 'quiet' });
    sent.unshift({ text: fill(look, names.sent, cell) + space, tone });
    room -= cell + gap;
  }
  return [heard, sent].map((line, row) => [
    { text: `${label[row] ?? ''}  `, tone: 'quiet' },
    ...line,
  ]);
}

/** A chord's heard and sounding symbol, then its label in as many lines as it takes. */
export function chordList(
  look: Look,
  chords: readonly ChordReport[],
  rows: number,
  width: number,
): Lines {
  const heading: readonly Span[] = [{ text: 'before', tone: 'quiet' }];
  const lines = chords
    .slice(0, -1)
    .toReversed()
    .flatMap((chord): Lines => {
      const head = `${heardName(look, chord)} ${signsOf(look).becomes} ${sentName(look, chord)}`;
      const label = wrapWords(withAccidentals(look, chord.sent.label), width - 2);
      return [
        [{ text: head }],
        ...label.map((text): readonly Span[] => [{ text: `  ${text}`, tone: 'quiet' }]),
        [],
      ];
    });
  return [heading, ...lines].slice(0, rows);
}
