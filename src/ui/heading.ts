/** The top of every page: the name, the pages there are, and which one this is. */
import type { Layout } from './layout.ts';
import type { Lines } from './lines.ts';
import { type Look, signsOf } from './look.ts';
import { pageSpans } from './status-line.ts';
import { type Span, widthOf } from './text.ts';
import { pages, type View } from './view.ts';

export function headingLines(look: Look, layout: Layout, view: View): Lines {
  const name = 'Handspan';
  const tabs = pageSpans(look, pages, view.page);
  const used = tabs.reduce((sum, span) => sum + widthOf(span.text), widthOf(name));
  const space = ' '.repeat(Math.max(1, layout.inner - used));
  const heading: readonly Span[] = [{ text: name, tone: 'strong' }, { text: space }, ...tabs];
  if (layout.headRows === 1) return [heading];
  return [heading, [{ text: signsOf(look).rule.repeat(layout.inner), tone: 'quiet' }]];
}
