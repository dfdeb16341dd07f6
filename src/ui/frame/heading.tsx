/** The top of every page: the pages there are, which one this is, and at the right how things are. */
import { Box } from 'ink';
import type { Arrivals } from '../arrivals.ts';
import type { StageModel } from '../stage-model.ts';
import { pages, type View } from '../view.ts';
import type { Layout } from './layout.ts';
import { StatusWords } from './status.tsx';
import { Run, Words } from './words.tsx';

type HeadingProps = {
  readonly layout: Layout;
  readonly model: StageModel;
  readonly view: View;
  readonly arrivals: Arrivals;
  readonly nowMs: number;
};

/** The pages take about this many columns; what is left of the line is the status. */
const pagesWidth = 41;
/** In less no word of it would stand whole. */
const leastStatus = 8;

export function Heading({ layout, model, view, arrivals, nowMs }: HeadingProps) {
  const { inner, headRows } = layout;
  const status = { model, arrivals, nowMs };
  const hasName = inner >= 76;
  const isNarrow = inner < pagesWidth - 2;
  const room = inner - pagesWidth - (hasName ? 9 : 0);
  return (
    <Box flexDirection="column" width={inner} height={headRows} flexShrink={0}>
      <Box width={inner} height={1} justifyContent="space-between" columnGap={2}>
        <Box flexShrink={0}>
          <Words>
            <Run tone="strong">{hasName ? 'Handspan ' : ''}</Run>
            {pages.map((page, place) => (
              <Run key={page} tone={page === view.page ? 'strong' : 'quiet'}>
                {`${page === view.page ? '▸' : isNarrow ? '' : ' '}${page}${place < pages.length - 1 ? ' ' : ''}`}
              </Run>
            ))}
          </Words>
        </Box>
        {room >= leastStatus && <StatusWords {...status} inHand={view.inHand} width={room} />}
      </Box>
      {headRows === 2 && <Words tone="quiet">{'─'.repeat(inner)}</Words>}
    </Box>
  );
}
