/** The presets on stage, the current one pointed at: one line, or the list around it. */
import { Box } from 'ink';
import { memo } from 'react';
import { sameContent } from '../frame/same-content.ts';
import { type Sign, SignRows } from '../frame/sign-rows.tsx';
import { Run, useLook, Words } from '../frame/words.tsx';
import { placeThatPlays, presetBeside } from '../preset-choice.ts';
import type { PresetLine, StageModel } from '../stage-model.ts';
import { cutTo } from '../text.ts';
import { windowStart } from '../window.ts';

/** The one that plays, and the one arrow down brings. */
export function PresetLineNow({
  model,
  width,
}: {
  readonly model: StageModel;
  readonly width: number;
}) {
  const now = model.presets[placeThatPlays(model)];
  const next = presetBeside(model, 1);
  const name = now?.name ?? model.state.snapshot.preset;
  const room = width - name.length - 2;
  return (
    <Words>
      <Run tone="strong">{`▸ ${name}`}</Run>
      <Run tone="quiet">
        {next !== undefined && room > next.name.length + 3 ? `  ↓ ${next.name}` : ''}
      </Run>
    </Words>
  );
}

type ListProps = {
  readonly presets: readonly PresetLine[];
  readonly current: number;
  readonly listOnStage: string;
  readonly rows: number;
  readonly width: number;
};

/** Columns that nearly every preset's name has room in. */
const leastColumn = 30;

export const PresetsBeside = memo(function PresetsBeside(props: ListProps) {
  const { presets, current, listOnStage, rows, width } = props;
  const hasHeading = rows >= 6;
  const room = hasHeading ? rows - 1 : rows;
  // Side by side where that brings more of them into sight.
  const columns = presets.length > room && width >= 2 * leastColumn + 2 ? 2 : 1;
  const wide = Math.floor((width - 2 * (columns - 1)) / columns);
  const start = windowStart(presets.length, room * columns, current);
  const look = useLook();
  const title = listOnStage === '' ? 'presets' : `setlist ${listOnStage}`;
  const heading: Sign = { text: cutTo(look, title, width), tone: 'quiet' };
  const list = presets
    .slice(start, start + room * columns)
    .map(({ name }, row): readonly Sign[] => {
      const place = start + row;
      const tone = place === current ? 'strong' : 'plain';
      const figure = place < 9 ? `${place + 1} ` : '  ';
      return [
        { text: place === current ? '▸ ' : '  ', tone },
        { text: figure, tone: 'quiet' },
        { text: cutTo(look, name, wide - 4), tone },
      ];
    });
  return (
    <Box flexDirection="column" width={width} height={rows} flexShrink={0} overflowY="hidden">
      {hasHeading && <Words tone={heading.tone}>{heading.text}</Words>}
      <Box columnGap={2}>
        {[list.slice(0, room), list.slice(room)].slice(0, columns).map((each, column) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: a column is its place.
          <Box key={column} width={wide} flexShrink={0}>
            <SignRows rows={each} />
          </Box>
        ))}
      </Box>
    </Box>
  );
}, sameContent);
