/**
 * Text as Ink draws it, in a tone and with the signs the terminal can show. Everything is written
 * with its proper signs (♭, ▸, ─); where only ASCII is safe, each becomes one as wide as it was.
 */
import { Box, Text, type TextProps, Transform } from 'ink';
import { Children, createContext, memo, type ReactNode, useContext } from 'react';
import { type Look, type Tone, toneProps } from '../look.ts';
import { oneLine, withAccidentals } from '../text.ts';
import { asciiOf } from './ascii.ts';
import { sameContent } from './same-content.ts';

export const LookContext = createContext<Look>({ hasColour: true, hasUnicode: true });

export function useLook(): Look {
  return useContext(LookContext);
}

/** Note names and symbols with printed accidentals: 'Bb3' → 'B♭3'. */
export function music(text: string): string {
  return withAccidentals({ hasColour: false, hasUnicode: true }, text);
}

type RunProps = { readonly tone?: Tone | undefined; readonly children?: ReactNode };

/** Names come from outside: nothing of them steers the terminal. */
function harmless(children: ReactNode): ReactNode {
  if (typeof children === 'string') return oneLine(children);
  return Children.map(children, (child) => (typeof child === 'string' ? oneLine(child) : child));
}

/** A stretch of a line, inside Words. */
export const Run = memo(function Run({ tone = 'plain', children }: RunProps) {
  return <Text {...toneProps(useLook(), tone)}>{harmless(children)}</Text>;
}, sameContent);

type WordsProps = RunProps & { readonly wrap?: TextProps['wrap'] };

/** A line, cut with a sign where it has no room; wrap 'wrap': as many lines as it takes. */
export const Words = memo(function Words({ tone, wrap = 'truncate-end', children }: WordsProps) {
  const look = useLook();
  const text = (
    <Text wrap={wrap} {...toneProps(look, tone ?? 'plain')}>
      {harmless(children)}
    </Text>
  );
  return look.hasUnicode ? text : <Transform transform={asciiOf}>{text}</Transform>;
}, sameContent);

type AtProps = {
  readonly column: number;
  readonly row: number;
  /** What has no room in it is cut; absent: as wide as it is. */
  readonly width?: number;
  readonly children: ReactNode;
};

/** At a place in the box around it, over what is drawn there. */
export function At({ column, row, width, children }: AtProps) {
  const wide = width === undefined ? {} : { width };
  return (
    <Box position="absolute" marginLeft={column} marginTop={row} flexShrink={0} {...wide}>
      {children}
    </Box>
  );
}
