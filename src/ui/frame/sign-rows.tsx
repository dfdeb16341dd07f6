/**
 * Rows in which each sign has its place and tone: a staff, a keyboard. One text for all rows,
 * since every box and every text of a page costs each of its drawings, whether it changed or not.
 */
import { Fragment } from 'react';
import type { Tone } from '../look.ts';
import { Run, Words } from './words.tsx';

export type Sign = { readonly text: string; readonly tone: Tone };

/** Signs of one tone beside each other as one stretch. */
function stretches(signs: readonly Sign[]): readonly Sign[] {
  const joined: { text: string; tone: Tone }[] = [];
  for (const { text, tone } of signs) {
    const last = joined.at(-1);
    if (last !== undefined && (last.tone === tone || text.trim() === '')) last.text += text;
    else joined.push({ text, tone });
  }
  return joined;
}

/** Nothing is cut or wrapped: they must have room. One text, whose rows are lines. */
export function SignRows({ rows }: { readonly rows: readonly (readonly Sign[])[] }) {
  return (
    <Words wrap="wrap">
      {rows.map((signs, row) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: rows of one drawing are their places.
        <Fragment key={row}>
          {row === 0 ? '' : '\n'}
          {stretches(signs).map(({ text, tone }, place) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: stretches of one line are their places.
            <Run key={place} tone={tone}>
              {text}
            </Run>
          ))}
        </Fragment>
      ))}
    </Words>
  );
}

/** A text at a place, of signs one column wide each. */
export type Placed = {
  readonly row: number;
  readonly column: number;
  readonly text: string;
  readonly tone: Tone;
};

const blank: Sign = { text: ' ', tone: 'plain' };

/** So many rows of at most so many columns; of two texts at one place the later is seen. */
export function signRows(
  placed: readonly Placed[],
  rows: number,
  columns: number,
): readonly (readonly Sign[])[] {
  const signs = Array.from({ length: rows }, (): Sign[] => []);
  for (const { row, column, text, tone } of placed) {
    const line = signs[row];
    if (line === undefined) continue;
    while (line.length < column) line.push(blank);
    [...text].slice(0, columns - column).forEach((sign, place) => {
      line[column + place] = { text: sign, tone };
    });
  }
  return signs;
}
