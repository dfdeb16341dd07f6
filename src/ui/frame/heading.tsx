/** The top of every page: the pages there are, which one this is, and at the right how things are. */
import { Box } from 'ink';
import { memo } from 'react';
import type { Arrivals } from '../arrivals.ts';
import type { StageModel } from '../stage-model.ts';
import { type Page, pages, type View } from '../view.ts';
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

type PageNamesProps = {
  readonly page: Page;
  readonly hasName: boolean;
  readonly isNarrow: boolean;
};

const PageNames = memo(function PageNames({ page, hasName, isNarrow }: PageNamesProps) {
  return (
    <Words>
      <Run tone="strong">{hasName ? 'Handspan ' : ''}</Run>
      {pages.map((each, place) => (
        <Run key={each} tone={each === page ? 'strong' : 'quiet'}>
          {`${each === page ? '▸' : isNarrow ? '' : ' '}${each}${place < pages.length - 1 ? ' ' : ''}`}
        </Run>
      ))}
    </Words>
  );
});

export function Heading({ layout, model, view, arrivals, nowMs }: HeadingProps) {
  const { inner, headRows } = layout;
  const status = { model, arrivals, nowMs };
  const hasName = inner >= 76;
  const room = inner - pagesWidth - (hasName ? 9 : 0);
  return (
    <Box flexDirection="column" width={inner} height={headRows} flexShrink={0}>
      <Box width={inner} height={1} justifyContent="space-between" columnGap={2}>
        <Box flexShrink={0}>
          <PageNames page={view.page} hasName={hasName} isNarrow={inner < pagesWidth - 2} />
        </Box>
        {room >= leastStatus && <StatusWords {...status} inHand={view.inHand} width={room} />}
      </Box>
      {headRows === 2 && <Words tone="quiet">{'─'.repeat(inner)}</Words>}
    </Box>
  );
}
