/**
 * Where things stand, from the terminal's size alone. All lengths in terminal columns and rows.
 *
 * The stage has two columns: left the symbols and the presets, right the grand staff; with enough
 * width a third for the chords before. Under them, full width: the keyboard, key and registers, the
 * last chords, one message, one quiet line of status, keys. Lists give up rows before large letters.
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
  /** 1: the heading alone; 2: with a rule under it. */
  readonly headRows: 1 | 2;
  /** Rows between heading and keyboard strip. */
  readonly bodyRows: number;
  /** Rows of the preset list. */
  readonly listRows: number;
  /** Empty rows: under the heading, above the keyboard strip, above the foot. */
  readonly gaps: readonly [number, number, number];
  /** Rows of the last chords under the body. */
  readonly chordRows: 0 | 2;
  readonly footRows: 1 | 2;
};

/** Columns the longest usual label takes: 'three-part fourths over the 3rd'. */
const labelWidth = 33;

/** The layout, or undefined when the terminal is too small to play by. */
export function layoutFor({ columns, rows }: Size): Layout | undefined {
  if (columns < smallest.columns || rows < smallest.rows) return undefined;
  const margin = columns >= 100 ? 3 : 1;
  const gutter = columns >= 100 ? 4 : 2;
  const inner = columns - 2 * margin;
  const far = columns >= 130 ? Math.floor(inner * 0.28) : 0;
  const near = far > 0 ? inner - far - gutter : inner;
  const left = Math.max(labelWidth, Math.min(46, Math.floor(near * 0.46)));
  const headRows = rows < 22 ? 1 : 2;
  const gaps = gapsFor(rows);
  const chordRows = rows >= 28 ? 2 : 0;
  const footRows = rows >= 24 ? 2 : 1;
  // Keyboard 2, settings, message, status.
  const around = headRows + 5 + chordRows + footRows + gaps[0] + gaps[1] + gaps[2];
  const bodyRows = rows - around;
  const scale = scaleFor(bodyRows, left);
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
    headRows,
    bodyRows,
    listRows: bodyRows - blockRows(scale),
    gaps,
    chordRows,
    footRows,
  };
}

/** Heard and sounds, each with heading, symbol and two rows of words; key and function. */
function blockRows(scale: LetterScale): number {
  return 2 * (3 + letterRows(scale)) + 1;
}

function scaleFor(bodyRows: number, left: number): LetterScale {
  const scales: readonly LetterScale[] = left >= 38 ? [2, 1] : [1];
  return scales.find((scale) => bodyRows - blockRows(scale) >= (scale === 2 ? 6 : 2)) ?? 0;
}

function gapsFor(rows: number): Layout['gaps'] {
  if (rows < 28) return [0, 0, 0];
  return rows < 36 ? [0, 1, 1] : [1, 1, 1];
}
