/** The presets on stage, the current one pointed at: one line, or the list around it. */
import { Box } from 'ink';
import { memo } from 'react';
import { sameContent } from '../frame/same-content.ts';
import { Run, Words } from '../frame/words.tsx';
import { placeThatPlays, presetBeside } from '../preset-choice.ts';
import type { PresetLine, StageModel } from '../stage-model.ts';
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

export const PresetsBeside = memo(function PresetsBeside(props: ListProps) {
  const { presets, current, listOnStage, rows, width } = props;
  const hasHeading = rows >= 6;
  const room = hasHeading ? rows - 1 : rows;
  const start = windowStart(presets.length, room, current);
  return (
    <Box flexDirection="column" width={width} height={rows} flexShrink={0} overflowY="hidden">
      {hasHeading && (
        <Words tone="quiet">{listOnStage === '' ? 'presets' : `setlist ${listOnStage}`}</Words>
      )}
      {presets.slice(start, start + room).map((preset, row) => {
        const place = start + row;
        const isCurrent = place === current;
        const figure = place < 9 ? `${place + 1} ` : '  ';
        return (
          <Words key={`${preset.id} ${place}`} tone={isCurrent ? 'strong' : 'plain'}>
            <Run>{isCurrent ? '▸ ' : '  '}</Run>
            <Run tone="quiet">{figure}</Run>
            {preset.name}
          </Words>
        );
      })}
    </Box>
  );
}, sameContent);
