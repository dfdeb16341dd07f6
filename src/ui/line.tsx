/** One row of the page: spans cut to a width. Everything drawn goes through here, so nothing wraps. */
import { Text } from 'ink';
import { type Look, toneProps } from './look.ts';
import { fitSpans, type Span } from './text.ts';

export type LineProps = {
  readonly look: Look;
  /** Terminal columns. */
  readonly width: number;
  readonly spans: readonly Span[];
};

export function Line({ look, width, spans }: LineProps) {
  const fitted = fitSpans(look, spans, width);
  if (fitted.length === 0) return <Text> </Text>;
  return (
    <Text wrap="truncate">
      {fitted.map((span, place) => (
        // A span has no identity but its place in the line.
        // biome-ignore lint/suspicious/noArrayIndexKey: spans are never reordered, only redrawn
        <Text key={place} {...toneProps(look, span.tone ?? 'plain')}>
          {span.text}
        </Text>
      ))}
    </Text>
  );
}

/** Lines one under the other in a column of fixed width and height. */
export function Column({
  look,
  width,
  rows,
  lines,
}: {
  readonly look: Look;
  readonly width: number;
  readonly rows: number;
  readonly lines: readonly (readonly Span[])[];
}) {
  const shown = Array.from({ length: Math.max(0, rows) }, (_, row) => lines[row] ?? []);
  return (
    <>
      {shown.map((spans, row) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a line has no identity but its row
        <Line key={row} look={look} width={width} spans={spans} />
      ))}
    </>
  );
}
