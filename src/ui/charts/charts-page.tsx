/**
 * The charts page: left the charts of the folder with the cursor; right what is in the one under it,
 * or why it cannot be opened. A narrow terminal shows the list, and of the chart what tells most.
 */
import { Box } from 'ink';
import { music, Run, Words } from '../frame/words.tsx';
import type { StageModel } from '../stage-model.ts';
import { widthOf } from '../text.ts';
import type { View } from '../view.ts';
import { windowStart } from '../window.ts';
import { chartAtCursor, chartPlace, chartsOf, nameAndFolder } from './chart-list.ts';
import type { AboutChart } from './charts-shown.ts';

type PageProps = {
  readonly model: StageModel;
  readonly view: View;
  readonly width: number;
  readonly rows: number;
};

type LineProps = {
  readonly file: string;
  readonly isCursor: boolean;
  readonly isOpen: boolean;
  readonly width: number;
};

function ListLine({ file, isCursor, isOpen, width }: LineProps) {
  const { name, folder } = nameAndFolder(file);
  const hasWord = isOpen && widthOf(name) + 10 <= width;
  const isElsewhere = folder !== '' && widthOf(name) + (hasWord ? 19 : 13) <= width;
  return (
    <Words>
      <Run tone="strong">{isCursor ? '▸ ' : '  '}</Run>
      <Run tone="sounding">{isOpen && !hasWord ? '♪ ' : ''}</Run>
      <Run tone={isCursor ? 'strong' : 'plain'}>{name}</Run>
      <Run tone="sounding">{hasWord ? '  open' : ''}</Run>
      <Run tone="quiet">{isElsewhere ? '  elsewhere' : ''}</Run>
    </Words>
  );
}

function List({ model, view, width, rows }: PageProps) {
  const { files, opened, folder } = chartsOf(model);
  const cursor = chartPlace(model, view);
  const room = Math.max(1, rows - 1);
  const start = windowStart(files.length, room, cursor);
  return (
    <Box flexDirection="column" width={width} height={rows} flexShrink={0} overflowY="hidden">
      <Words>
        <Run tone="strong">charts</Run>
        <Run tone="quiet">{`  ${files.length}  in ${folder}`}</Run>
      </Words>
      {files.length === 0 && (
        <Words tone="quiet" wrap="wrap">
          {`No chart in ${folder}. Put texts or MusicXML scores there, or name another folder on the set-up page.`}
        </Words>
      )}
      {files.slice(start, start + room).map((file, row) => (
        <ListLine
          key={file}
          file={file}
          isCursor={start + row === cursor}
          isOpen={file === opened}
          width={width}
        />
      ))}
    </Box>
  );
}

type AboutProps = Pick<PageProps, 'width' | 'rows'> & {
  readonly about: AboutChart;
  /** Where it lies; '' for the folder of charts. */
  readonly folder: string;
};

function About({ about, width, rows, folder }: AboutProps) {
  if ('problem' in about) {
    return (
      <Box width={width} height={rows} overflowY="hidden">
        <Words tone="caution" wrap="wrap">
          {about.problem}
        </Words>
      </Box>
    );
  }
  const { title, words, facts, lines } = about;
  const where = folder === '' ? '' : `in ${folder}`;
  const heading = [title, words, facts, where].filter((each) => each !== '');
  const room = Math.max(0, rows - heading.length - 1);
  const shown = lines.length > room ? lines.slice(0, Math.max(0, room - 1)) : lines;
  return (
    <Box flexDirection="column" width={width} height={rows} flexShrink={0} overflowY="hidden">
      {heading.map((each) => (
        <Words key={each} tone={each === title ? 'strong' : 'plain'}>
          {each}
        </Words>
      ))}
      <Words> </Words>
      {shown.map((line, row) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a line is its place.
        <Words key={row} wrap="wrap">
          {music(line)}
        </Words>
      ))}
      {shown.length < lines.length && <Words tone="quiet">…</Words>}
    </Box>
  );
}

/** Narrow: what the chart under the cursor is, in one line. */
function lineOf(about: AboutChart | undefined): string {
  if (about === undefined) return '';
  return 'problem' in about ? about.problem : [about.title, about.facts].filter(Boolean).join(', ');
}

/** Columns of the list: the longest name can be read whole, as far as the chart has room. */
function listWidth(model: StageModel, width: number): number {
  const longest = Math.max(
    20,
    ...chartsOf(model).files.map((file) => {
      const { name, folder } = nameAndFolder(file);
      return widthOf(name) + (folder === '' ? 0 : 11);
    }),
  );
  return Math.min(longest + 8, Math.floor(width * 0.45));
}

export function ChartsPage({ model, view, width, rows }: PageProps) {
  const file = chartAtCursor(model, view);
  const about = file === undefined ? undefined : chartsOf(model).aboutOf(file);
  if (width < 58) {
    const isBroken = about !== undefined && 'problem' in about;
    const aboutRows = isBroken ? Math.min(3, Math.ceil((widthOf(lineOf(about)) * 1.1) / width)) : 1;
    return (
      <Box flexDirection="column" width={width}>
        <List model={model} view={view} width={width} rows={rows - aboutRows} />
        <Words tone={isBroken ? 'caution' : 'quiet'} wrap="wrap">
          {lineOf(about)}
        </Words>
      </Box>
    );
  }
  // Where there is none, how to have one takes the whole width.
  const left = about === undefined ? width : listWidth(model, width - 2);
  return (
    <Box columnGap={2} width={width}>
      <List model={model} view={view} width={left} rows={rows} />
      {about !== undefined && (
        <About
          about={about}
          width={width - 2 - left}
          rows={rows}
          folder={nameAndFolder(file ?? '').folder}
        />
      )}
    </Box>
  );
}
