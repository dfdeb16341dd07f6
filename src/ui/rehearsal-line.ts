/** No ports: what the number keys play, and in which key, stands in their place. */
import { type Look, signsOf } from './look.ts';
import type { StageModel } from './stage-model.ts';
import { type Span, widthOf, withAccidentals } from './text.ts';
import type { InHand } from './view.ts';

/** What the arrows step through stands between points, as in the line of the key. */
function pointed(look: Look, text: string, isInHand: boolean): Span {
  const { pointRight, pointLeft } = signsOf(look);
  return isInHand ? { text: `${pointRight}${text}${pointLeft}`, tone: 'strong' } : { text };
}

export function rehearsalSpans(
  look: Look,
  { rehearsal }: StageModel,
  inHand: InHand,
  width: number,
): readonly Span[] {
  if (rehearsal === undefined) return [{ text: 'rehearsal, no ports' }];
  const { key, chordType, inversion } = rehearsal;
  const keys = `keys 1${signsOf(look).dash}7 in ${withAccidentals(look, key)}: `;
  const played: readonly Span[] = [
    { text: keys, tone: 'quiet' },
    pointed(look, chordType, inHand.type === 'chordType'),
    { text: ', ' },
    pointed(look, inversion, inHand.type === 'inversion'),
  ];
  const name = 'rehearsal, ';
  const used = played.reduce((sum, span) => sum + widthOf(span.text), widthOf(name));
  return used > width ? played : [{ text: name, tone: 'quiet' }, ...played];
}
