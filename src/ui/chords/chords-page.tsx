/** The chords page: the voices as lines above, the same chords as a table below, one cursor for both. */
import { Box } from 'ink';
import { memo } from 'react';
import type { ChordReport } from '../../live/snapshot.ts';
import { music, Run, Words } from '../frame/words.tsx';
import { wantingOf } from '../given-up.ts';
import { chordsOf, placeOf } from '../look-back.ts';
import type { StageModel } from '../stage-model.ts';
import { widthOf } from '../text.ts';
import type { View } from '../view.ts';
import { windowStart } from '../window.ts';
import { Roll, rollCell, rollMargin, rollRowsFor } from './roll.tsx';

type PageProps = {
  readonly model: StageModel;
  readonly view: View;
  readonly width: number;
  readonly rows: number;
};

type Widths = {
  readonly place: number;
  readonly heard: number;
  readonly numeral: number;
  readonly sounds: number;
  /** 0: no such column. */
  readonly voices: number;
  readonly label: number;
};

function widthsFor(width: number): Widths {
  const { from: _, ...columns } = tables.find(({ from }) => width >= from) ?? narrowTable;
  const used = Object.values(columns).reduce((sum, each) => sum + each, 0);
  return { ...columns, label: columns.numeral === 0 ? 0 : Math.max(0, width - used) };
}

const narrowTable = { from: 0, place: 6, heard: 11, numeral: 0, sounds: 13, voices: 0 };

/** Widest first. From 94 on the longest technique, with its bass, has room beside five voices. */
const tables = [
  { from: 130, place: 6, heard: 16, numeral: 10, sounds: 16, voices: 36 },
  { from: 112, place: 6, heard: 16, numeral: 10, sounds: 16, voices: 28 },
  { from: 94, place: 6, heard: 12, numeral: 9, sounds: 14, voices: 20 },
  { from: 88, place: 6, heard: 16, numeral: 10, sounds: 16, voices: 0 },
  { from: 58, place: 6, heard: 11, numeral: 10, sounds: 13, voices: 0 },
] as const;

function Cell({ width, children }: { readonly width: number; readonly children: React.ReactNode }) {
  if (width === 0) return null;
  return (
    <Box width={width} paddingRight={1} height={1} flexShrink={0}>
      {children}
    </Box>
  );
}

type LineProps = {
  readonly chord: ChordReport;
  readonly place: number;
  readonly numeral: string;
  readonly isPinned: boolean;
  readonly isCursor: boolean;
  readonly isMarked: boolean;
  readonly width: number;
};

const TableLine = memo(function TableLine(props: LineProps) {
  const { chord, place, numeral, isPinned, isCursor, isMarked, width } = props;
  const widths = widthsFor(width);
  const sign = `${isCursor ? '▸' : ' '}${isMarked ? 'm' : ' '}`;
  return (
    <Box width={width} height={1} flexShrink={0}>
      <Cell width={widths.place}>
        <Words>
          <Run tone="strong">{sign}</Run>
          <Run tone="quiet">{`${place + 1}`}</Run>
        </Words>
      </Cell>
      <Cell width={widths.heard}>
        <Words>{`${music(chord.heard.symbol) || '–'}${isPinned ? '=' : ''}`}</Words>
      </Cell>
      <Cell width={widths.numeral}>
        <Words tone="quiet">{music(numeral)}</Words>
      </Cell>
      <Cell width={widths.sounds}>
        <Words tone={isCursor ? 'strong' : 'plain'}>{music(chord.sent.symbol) || '–'}</Words>
      </Cell>
      <Cell width={widths.voices}>
        <Words>{music(chord.sent.voices.map((voice) => voice.name).join(' '))}</Words>
      </Cell>
      <Cell width={widths.label}>
        <Words tone={isCursor ? 'plain' : 'quiet'}>{music(chord.sent.label)}</Words>
      </Cell>
    </Box>
  );
});

function TableHeading({ width }: { readonly width: number }) {
  const widths = widthsFor(width);
  const named = [
    ['', widths.place],
    ['heard', widths.heard],
    ['in key', widths.numeral],
    ['sounded', widths.sounds],
    ['voices', widths.voices],
    ['technique', widths.label],
  ] as const;
  return (
    <Box width={width} height={1} flexShrink={0}>
      {named.map(([name, wide]) => (
        <Cell key={name} width={wide}>
          <Words tone="quiet">{name || ' '}</Words>
        </Cell>
      ))}
    </Box>
  );
}

function detailOf(chord: ChordReport) {
  const { heard, sent } = chord;
  const wanting = wantingOf(sent);
  const voiced = `${heard.symbol || '–'} → ${sent.symbol || '–'}`;
  const names = chord.played === undefined ? voiced : `${sent.symbol || '–'} as played`;
  const whole = music(`${names}: ${sent.label}${wanting === '' ? '' : `; ${wanting}`}`);
  const other = heard.runnerUp === '' ? 'no other reading' : `other reading: ${heard.runnerUp}`;
  const notes = heard.notes.map((note) => note.name).join(' ');
  return { whole, played: music(`played ${notes}, ${other}`) };
}

type DetailProps = {
  readonly chord: ChordReport;
  readonly rows: number;
  /** How many chords newer than it there are. */
  readonly back: number;
};

/** The chord under the cursor, whole, what else its notes could be called, and the way to the newest. */
function Detail({ chord, rows, back }: DetailProps) {
  const { whole, played } = detailOf(chord);
  return (
    <Box flexDirection="column" height={rows} flexShrink={0} justifyContent="flex-end">
      <Words wrap="wrap">{whole}</Words>
      <Words>
        <Run tone="strong">{back > 0 ? `${back} back, End: newest   ` : ''}</Run>
        <Run>{played}</Run>
        <Run tone="quiet">{`   ${chord.preset}`}</Run>
      </Words>
    </Box>
  );
}

/** Chords in the table however far the voices are apart. */
const fewestInTable = 4;

export function ChordsPage({ model, view, width, rows }: PageProps) {
  const chords = chordsOf(model);
  const cursor = placeOf(model, view.chordsBack);
  const chord = chords[cursor];
  if (chord === undefined) {
    return <Words tone="quiet">No chord yet. Play one, and it stands here.</Words>;
  }
  const lines = Math.ceil((widthOf(detailOf(chord).whole) * 1.1) / width);
  const detailRows = 1 + Math.max(1, Math.min(4, lines));
  // The bass must be in sight too: where half the page is too low for it, the table gives rows.
  const half = Math.max(6, Math.floor((rows - 3) / 2));
  const most = rows - 3 - fewestInTable;
  const wanted = Math.max(half, Math.min(rollRowsFor(chords), most));
  // Too few rows for both: the table alone.
  const rollRows = most < 5 ? 0 : wanted;
  const tableRows = Math.max(1, rows - rollRows - 1 - detailRows);
  const inRoll = Math.max(1, Math.floor((width - rollMargin) / rollCell));
  const rollFrom = windowStart(chords.length, inRoll, cursor);
  const tableFrom = windowStart(chords.length, tableRows, cursor);
  return (
    <Box flexDirection="column" width={width} height={rows}>
      {rollRows > 0 && (
        <Roll
          chords={chords.slice(rollFrom, rollFrom + inRoll)}
          cursor={cursor - rollFrom}
          columns={width}
          rows={rollRows}
        />
      )}
      <TableHeading width={width} />
      <Box flexDirection="column" height={tableRows} flexShrink={0}>
        {chords.slice(tableFrom, tableFrom + tableRows).map((each, row) => (
          <TableLine
            // biome-ignore lint/suspicious/noArrayIndexKey: a line of the table is its place.
            key={tableFrom + row}
            chord={each}
            place={tableFrom + row}
            numeral={model.functionOf?.(each).numeral ?? ''}
            isPinned={model.isPinned?.(each) === true}
            isCursor={tableFrom + row === cursor}
            isMarked={view.chordMark === each}
            width={width}
          />
        ))}
      </Box>
      <Detail chord={chord} rows={detailRows} back={chords.length - 1 - cursor} />
    </Box>
  );
}
