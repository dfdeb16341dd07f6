/** The chords to come, where they are known: of a performance, of a tune, of a line that was typed. */
import { Box } from 'ink';
import { memo } from 'react';
import { sameContent } from '../frame/same-content.ts';
import { music, Run, Words } from '../frame/words.tsx';
import type { StageModel } from '../stage-model.ts';
import { widthOf } from '../text.ts';
import type { View } from '../view.ts';

/** Symbols, the next one first. */
export function comingOf({ coming = [] }: StageModel, { typing }: View): readonly string[] {
  if (typing?.purpose !== 'chord') return coming;
  const words = typing.text.trim().split(/\s+/).filter(Boolean);
  return words.length < 2 ? coming : words.slice((typing.next ?? 0) % words.length);
}

type ComingProps = {
  readonly symbols: readonly string[];
  readonly width: number;
  readonly rows: number;
};

/** Words in as many lines as there are rows; what has no room in them is not begun. */
function linesOf(symbols: readonly string[], width: number, rows: number): readonly string[][] {
  const lines: string[][] = [[]];
  let used = 0;
  for (const symbol of symbols) {
    const wide = widthOf(symbol) + 2;
    if (used > 0 && used + wide > width) {
      if (lines.length === rows) break;
      lines.push([]);
      used = 0;
    }
    lines.at(-1)?.push(symbol);
    used += wide;
  }
  return lines;
}

export const Coming = memo(function Coming({ symbols, width, rows }: ComingProps) {
  const lines = linesOf(symbols.map(music), width, rows - 1);
  return (
    <Box flexDirection="column" width={width} height={rows} flexShrink={0} overflowY="hidden">
      <Words tone="quiet">to come</Words>
      {lines.map((line, row) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: lines are their places.
        <Words key={row}>
          {line.map((symbol, place) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: a chord may come twice.
            <Run key={place} tone={row === 0 && place === 0 ? 'strong' : 'plain'}>
              {`${symbol}  `}
            </Run>
          ))}
        </Words>
      ))}
    </Box>
  );
}, sameContent);
