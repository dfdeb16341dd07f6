/** A chord symbol as large as its room allows; words where it has no letters. */
import { Box } from 'ink';
import { memo } from 'react';
import { sameContent } from '../frame/same-content.ts';
import { SignRows } from '../frame/sign-rows.tsx';
import { music, useLook, Words } from '../frame/words.tsx';
import type { Tone } from '../look.ts';
import { letteredSymbol } from './letters.ts';

type SymbolProps = {
  readonly symbol: string;
  readonly tone: Tone;
  readonly width: number;
  readonly rows: number;
};

/** Takes `rows` rows whatever the symbol, so that nothing below it moves. */
export const LargeSymbol = memo(function LargeSymbol({ symbol, tone, width, rows }: SymbolProps) {
  const { hasUnicode } = useLook();
  const lines = letteredSymbol(symbol, width, rows, hasUnicode);
  return (
    <Box height={rows} width={width} flexShrink={0} flexDirection="column" justifyContent="center">
      {lines === undefined ? (
        <Words tone={tone} wrap="wrap">
          {music(symbol)}
        </Words>
      ) : (
        <SignRows rows={lines.map((text) => [{ text, tone }])} />
      )}
    </Box>
  );
}, sameContent);
