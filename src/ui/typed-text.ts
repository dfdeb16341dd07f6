/** Text being typed: its end is in sight, for that is where the next character goes. */
import type { Look } from './look.ts';
import { cutTo, type Span, widthOf } from './text.ts';
import type { Typing } from './view.ts';

/** At most `width` columns, with the place of the next character at the end. */
export function typedSpans(look: Look, typing: Typing, width: number): readonly Span[] {
  const { text, isSelected = false, problem } = typing;
  if (isSelected) {
    return [{ text: cutTo(look, text, width - 1), tone: 'selected' }, { text: '_' }];
  }
  let shown = text;
  while (shown !== '' && widthOf(shown) > width - 1) shown = [...shown].slice(1).join('');
  return [{ text: `${shown}_`, tone: problem === undefined ? 'sounding' : 'caution' }];
}
