/** Lines of spans, and how they stand under and beside each other. */
import { type Look, styledText } from './look.ts';
import { fitSpans, type Span, widthOf } from './text.ts';

export type Lines = readonly (readonly Span[])[];

export function blank(count: number): Lines {
  return Array.from({ length: Math.max(0, count) }, () => []);
}

/** Exactly so many lines: the rest cut off, or empty ones added. */
export function sized(lines: Lines, rows: number): Lines {
  return lines.length >= rows
    ? lines.slice(0, Math.max(0, rows))
    : [...lines, ...blank(rows - lines.length)];
}

export type Column = { readonly width: number; readonly lines: Lines };

function filled(look: Look, line: readonly Span[], width: number): readonly Span[] {
  const fitted = fitSpans(look, line, width);
  const used = fitted.reduce((sum, span) => sum + widthOf(span.text), 0);
  return used >= width ? fitted : [...fitted, { text: ' '.repeat(width - used) }];
}

/** Columns side by side, `gutter` columns of the terminal apart. */
export function beside(
  look: Look,
  columns: readonly Column[],
  gutter: number,
  rows: number,
): Lines {
  const space: Span = { text: ' '.repeat(gutter) };
  return Array.from({ length: Math.max(0, rows) }, (_, row) =>
    columns.flatMap(({ width, lines }, place): readonly Span[] => [
      ...(place > 0 ? [space] : []),
      ...filled(look, lines[row] ?? [], width),
    ]),
  );
}

/** The lines as the bytes of a frame, blanks at the end of a line left out. */
export function frameOf(look: Look, lines: Lines): string {
  return lines
    .map((line) => {
      const last = line.findLastIndex((span) => span.text.trim() !== '');
      return line
        .slice(0, last + 1)
        .map(({ text, tone = 'plain' }, place) =>
          styledText(look, tone, place === last ? text.trimEnd() : text),
        )
        .join('');
    })
    .join('\n');
}
