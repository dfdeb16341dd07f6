/** The top of the page: the name, the ports, and what else is going on. */
import type { Arrivals } from './arrivals.ts';
import type { Layout } from './layout.ts';
import { Line } from './line.tsx';
import { type Look, signsOf } from './look.ts';
import { portSpans } from './ports-line.ts';
import type { StageModel } from './stage-model.ts';
import { cutTo, type Span, widthOf } from './text.ts';

export type HeadingProps = {
  readonly look: Look;
  readonly layout: Layout;
  readonly model: StageModel;
  readonly arrivals: Arrivals;
  /** Milliseconds, of the same clock as the arrivals. */
  readonly nowMs: number;
};

export function Heading({ look, layout, model, arrivals, nowMs }: HeadingProps) {
  const name = 'Handspan';
  const doing = doingNow(look, model, Math.floor(layout.inner * 0.42));
  const room = layout.inner - widthOf(name) - 3 - (doing ? widthOf(doing) + 3 : 0);
  const ports = portSpans(look, model, arrivals, nowMs, room);
  const used = ports.reduce((sum, span) => sum + widthOf(span.text), 0);
  const spans: readonly Span[] = [
    { text: name, tone: 'strong' },
    { text: '   ' },
    ...ports,
    { text: doing ? `${' '.repeat(Math.max(0, room - used))}   ${doing}` : '', tone: 'strong' },
  ];
  return (
    <>
      <Line look={look} width={layout.inner} spans={spans} />
      <Line
        look={look}
        width={layout.inner}
        spans={[{ text: signsOf(look).rule.repeat(layout.inner), tone: 'quiet' }]}
      />
    </>
  );
}

/** 'demo playing, writing evening.mid', as far as it fits. */
function doingNow(look: Look, model: StageModel, width: number): string {
  const doing = [
    model.isDemoPlaying ? 'demo playing' : '',
    model.recording === undefined ? '' : `writing ${model.recording}`,
  ];
  return cutTo(look, doing.filter((each) => each !== '').join(', '), width);
}
