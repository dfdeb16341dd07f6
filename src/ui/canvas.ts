/**
 * A rectangle of single-column signs, each in a tone, for drawings that are not lines of text. What
 * falls outside is dropped.
 */
import type { Tone } from './look.ts';
import { type Span, widthOf } from './text.ts';

type Cell = { readonly sign: string; readonly tone: Tone };

export type Canvas = {
  /** Text from a column on, in one row; signs that are not one column wide are dropped. */
  readonly put: (column: number, row: number, text: string, tone?: Tone) => void;
  readonly lines: () => readonly (readonly Span[])[];
};

const empty: Cell = { sign: ' ', tone: 'plain' };

function spansOf(cells: readonly Cell[]): readonly Span[] {
  const spans: { text: string; tone: Tone }[] = [];
  for (const { sign, tone } of cells) {
    const last = spans.at(-1);
    if (last !== undefined && last.tone === tone) last.text += sign;
    else spans.push({ text: sign, tone });
  }
  return spans;
}

export function createCanvas(columns: number, rows: number): Canvas {
  const cells = Array.from({ length: Math.max(0, rows) }, () =>
    Array.from({ length: Math.max(0, columns) }, () => empty),
  );
  return {
    put(column, row, text, tone = 'plain') {
      const line = cells[row];
      if (line === undefined) return;
      let at = column;
      for (const sign of text) {
        if (at >= 0 && at < line.length && widthOf(sign) === 1) line[at] = { sign, tone };
        at += 1;
      }
    },
    lines: () => cells.map(spansOf),
  };
}
