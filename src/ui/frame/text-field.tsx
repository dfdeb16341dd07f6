/** Text being typed: its end is in sight, for that is where the next character goes. */
import { Box } from 'ink';
import { widthOf } from '../text.ts';
import type { Typing } from '../typing.ts';
import { Run, Words } from './words.tsx';

type TextFieldProps = { readonly typing: Typing; readonly width: number };

export function TextField({ typing, width }: TextFieldProps) {
  const { text, isSelected = false, problem } = typing;
  const tone = isSelected ? 'selected' : problem === undefined ? 'sounding' : 'caution';
  const isLong = widthOf(text) > width - 1;
  return (
    <Box width={Math.min(width, widthOf(text) + 1)} flexShrink={0}>
      <Words wrap={isLong ? 'truncate-start' : 'truncate-end'}>
        <Run tone={tone}>{text}</Run>
        <Run>_</Run>
      </Words>
    </Box>
  );
}
