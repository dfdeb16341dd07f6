/**
 * Treatments side by side as text: a column each, aligned chord by chord, then what was measured.
 * Where a page is too narrow for all of them, the rest follows below in the same way.
 */

import type { ReportedChord } from '../chart/report.ts';
import { wrapText } from '../common/words.ts';

/** Lines of one cell. */
type Cell = readonly string[];

/** Characters of a column; less would break words, more is empty. */
const narrowest = 24;
const widest = 38;
const gap = 2;

export type Columns = {
  readonly width: number;
  /** Treatments in each of the rows of columns. */
  readonly banks: readonly (readonly number[])[];
};

/** @param left characters before the columns. @param page characters of a line in all. */
export function columnsFor(count: number, left: number, page: number): Columns {
  const room = Math.max(narrowest, page - left);
  const fitting = Math.max(1, Math.min(count, Math.floor((room + gap) / (narrowest + gap))));
  const rows = Math.ceil(count / fitting);
  const each = Math.ceil(count / rows);
  const width = Math.min(widest, Math.floor((room + gap) / each) - gap);
  const places = Array.from({ length: count }, (_, place) => place);
  const banks = Array.from({ length: rows }, (_, bank) =>
    places.slice(bank * each, (bank + 1) * each),
  );
  return { width, banks };
}

/** Names over their degrees; further ones below where there are many. */
export function noteLines(notes: ReportedChord['notes'], width: number): Cell {
  const cells = notes.map(({ name, degree }) => Math.max(name.length, degree.length) + 1);
  const size = cells.reduce((most, each) => Math.max(most, each), 4);
  const inLine = Math.max(1, Math.floor(width / size));
  const lines: string[] = [];
  for (let from = 0; from < notes.length; from += inLine) {
    const some = notes.slice(from, from + inLine);
    lines.push(
      some
        .map(({ name }) => name.padEnd(size))
        .join('')
        .trimEnd(),
    );
    lines.push(
      some
        .map(({ degree }) => degree.padEnd(size))
        .join('')
        .trimEnd(),
    );
  }
  return lines;
}

export function textLines(text: string, width: number): Cell {
  return text === '' ? [] : wrapText(text, width);
}

/** Cells beside each other, those on the left first. */
export function rowLines(
  left: Cell,
  cells: readonly Cell[],
  leftWidth: number,
  width: number,
): readonly string[] {
  const height = cells.reduce((most, { length }) => Math.max(most, length), left.length);
  return Array.from({ length: height }, (_, line) =>
    [
      (left[line] ?? '').padEnd(leftWidth),
      ...cells.map((cell) => `${(cell[line] ?? '').padEnd(width)}${' '.repeat(gap)}`),
    ]
      .join('')
      .trimEnd(),
  );
}
