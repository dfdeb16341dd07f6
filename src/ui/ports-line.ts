/** The ports in one line, each with a sign and a word: the sign alone must never be needed. */
import type { PortState } from '../io/engine/stage-state.ts';
import { type Arrivals, isBusy } from './arrivals.ts';
import { type Look, signsOf } from './look.ts';
import type { StageModel } from './stage-model.ts';
import { cutTo, type Span, widthOf } from './text.ts';

type PortWords = { readonly sign: string; readonly word: string; readonly tone: Span['tone'] };

function wordsFor(look: Look, port: PortState, isPortBusy: boolean): PortWords {
  const signs = signsOf(look);
  if (!port.isOpen) return { sign: signs.gone, word: 'gone', tone: 'caution' };
  if (isPortBusy) {
    const word = port.direction === 'in' ? 'arriving' : 'sending';
    return { sign: signs.on, word, tone: 'sounding' };
  }
  const word = port.messages > 0 ? 'quiet' : port.direction === 'in' ? 'waiting' : 'ready';
  return { sign: signs.off, word, tone: 'plain' };
}

/** Fewer columns than this for a name say nothing: the direction then stands for it. */
const shortestName = 8;
const apart = 3;

/** 'in ● Handspan in, arriving'; names share the width that the words leave. */
export function portSpans(
  look: Look,
  model: StageModel,
  arrivals: Arrivals,
  nowMs: number,
  width: number,
): readonly Span[] {
  const { ports } = model.state;
  if (ports.length === 0) return [{ text: 'no ports open', tone: 'caution' }];
  // Gone ports first: with many ports, those are the ones that must be seen.
  const ordered = [...ports].sort((a, b) => Number(a.isOpen) - Number(b.isOpen));
  const shown = ordered.slice(0, Math.max(2, Math.floor((width + apart) / 30)));
  const rest = ports.length - shown.length;
  const more = rest > 0 ? ` +${rest}` : '';
  const share = Math.floor((width - widthOf(more) + apart) / shown.length) - apart;
  const spans = shown.flatMap((port, place): readonly Span[] => {
    const { sign, word, tone = 'plain' } = wordsFor(look, port, isBusy(arrivals, port, nowMs));
    const room = share - widthOf(`${port.direction} ${sign} , ${word}`);
    const name = room >= shortestName ? `${cutTo(look, port.name, room)}, ` : '';
    return [
      { text: `${place > 0 ? ' '.repeat(apart) : ''}${port.direction} `, tone: 'quiet' },
      { text: `${sign} `, tone },
      { text: name },
      { text: word, tone },
    ];
  });
  return more ? [...spans, { text: more, tone: 'quiet' }] : spans;
}
