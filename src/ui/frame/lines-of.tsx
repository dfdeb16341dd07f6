/** Lines of spans as Ink draws them. */
import { Box } from 'ink';
import type { Lines } from '../lines.ts';
import { Run, Words } from './words.tsx';

export function LinesOf({ lines }: { readonly lines: Lines }) {
  return (
    <Box flexDirection="column" flexShrink={0}>
      {lines.map((line, row) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: lines of one drawing are their places.
        <Box key={row} height={1} flexShrink={0}>
          <Words>
            {line.map(({ text, tone }, place) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: stretches of one line are their places.
              <Run key={place} tone={tone}>
                {text}
              </Run>
            ))}
          </Words>
        </Box>
      ))}
    </Box>
  );
}
