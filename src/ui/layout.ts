/**
 * Where things stand, from the terminal's size alone. All lengths in terminal columns and rows.
 *
 * A page of two columns: left what was heard and the presets, right what sounds and its voices;
 * with enough width a third for the chords before. Under them, full width: the preset in a line,
 * key and registers, the last chords, messages, keys. A row of the lists is given up before a
 * large letter, a gap before a row of the lists.
 */
import { type LetterScale, letterRows } from './lettering.ts';
import type { Size } from './painter.ts';

export const smallest: Size = { columns: 60, rows: 18 };

export type Layout = Size & {
  /** Empty columns at either edge. */
  readonly margin: number;
  readonly inner: number;
  readonly left: number;
  readonly right: number;
  /** Width of the third column, 0 when there is none. */
  readonly far: number;
  readonly gutter: number;
  readonly scale: LetterScale;
  /** Rows of the preset list and of the voices. */
  readonly listRows: number;
  /** Rows of the whole page between header and the preset line. */
  readonly bodyRows: number;
  /** Empty rows: under the header, above the lists, above the preset line, above the last chords, above the foot. */
  readonly gaps: readonly [number, number, number, number, number];
  readonly chordRows: 1 | 2;
  readonly footRows: number;
};

/** Columns the longest usual label takes: 'three-part fourths over the 3rd'. */
const labelWidth = 32;

/** The layout, or undefined when the terminal is too small to play by. */
export function layoutFor({ columns, rows }: Size): Layout | undefined {
  if (columns < smallest.columns || rows < smallest.rows) return undefined;
  const margin = columns >= 100 ? 3 : 1;
  const gutter = columns >= 100 ? 4 : 2;
  const inner = columns - 2 * margin;
  const far = columns >= 120 ? Math.floor(inner * 0.34) : 0;
  const near = far > 0 ? inner - far - gutter : inner;
  const left = Math.min(Math.floor((near - gutter) / 2), near - gutter - labelWidth);
  const scale = scaleFor(rows, left);
  const gaps = gapsFor(rows);
  const chordRows = rows >= 28 ? 2 : 1;
  const footRows = 2;
  // Header and rule, preset line, settings, message.
  const around = 5 + chordRows + footRows + gaps[0] + gaps[2] + gaps[3] + gaps[4];
  const bodyRows = rows - around;
  return {
    columns,
    rows,
    margin,
    inner,
    left,
    right: near - gutter - left,
    far,
    gutter,
    scale,
    // Above the lists: the heading, the symbol, two rows of words.
    listRows: bodyRows - 3 - letterRows(scale) - gaps[1],
    bodyRows,
    gaps,
    chordRows,
    footRows,
  };
}

function scaleFor(rows: number, left: number): LetterScale {
  if (rows < 22) return 0;
  return rows >= 36 && left >= 38 ? 2 : 1;
}

function gapsFor(rows: number): Layout['gaps'] {
  if (rows < 22) return [0, 0, 0, 0, 0];
  if (rows < 26) return [0, 1, 1, 0, 0];
  return rows < 36 ? [1, 1, 1, 0, 1] : [1, 2, 1, 1, 1];
}
