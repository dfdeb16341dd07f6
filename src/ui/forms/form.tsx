/**
 * A form: rows with label and value, grouped, the cursor kept in sight; under them what the row
 * under the cursor means, what it may be, and what is wrong with it.
 */
import { Box } from 'ink';
import type { FormRow } from '../form-row.ts';
import { TextField } from '../frame/text-field.tsx';
import { music, Run, Words } from '../frame/words.tsx';
import { rowPlace } from '../keys/forms-keys.ts';
import { widthOf, wrappedRows } from '../text.ts';
import type { Typing } from '../typing.ts';
import { windowStart } from '../window.ts';

type RowProps = {
  readonly row: FormRow;
  readonly isCursor: boolean;
  readonly typing: Typing | undefined;
  readonly width: number;
};

function labelWidthIn(width: number): number {
  return Math.min(30, Math.floor(width * 0.42));
}

/** Columns of a value: the cursor, a space and the mark of a problem stand around it. */
function valueWidth(width: number): number {
  return width - labelWidthIn(width) - 5;
}

function Value({ row, isCursor, typing, width }: RowProps) {
  if (isCursor && typing !== undefined) {
    if (row.entry === 'stroke') return <Words tone="sounding">press the new key</Words>;
    return <TextField typing={typing} width={valueWidth(width)} />;
  }
  const tone = row.isLearning ? 'sounding' : isCursor ? 'strong' : 'plain';
  return <Words tone={tone}>{music(row.value)}</Words>;
}

function FormLine(props: RowProps) {
  const { row, isCursor, typing, width } = props;
  const room = Math.min(valueWidth(width), Math.max(1, widthOf(row.value)));
  const tone = isCursor ? 'strong' : 'plain';
  return (
    <Box width={width} height={1} flexShrink={0}>
      <Box width={labelWidthIn(width) + 2} flexShrink={0} marginRight={1}>
        <Words tone={tone}>{`${isCursor ? '▸' : ' '} ${row.label}`}</Words>
      </Box>
      <Box width={isCursor && typing !== undefined ? valueWidth(width) : room} flexShrink={0}>
        <Value {...props} />
      </Box>
      {row.problem !== undefined && <Words tone="caution"> !</Words>}
    </Box>
  );
}

type Help = { readonly text: string; readonly tone: 'caution' | 'quiet' };

/** What is wrong with the row, or what it means; a value that had no room in it stands here whole. */
function helpOf(row: FormRow, typing: Typing | undefined, width: number): Help {
  const problem = typing?.problem ?? row.problem;
  if (problem !== undefined) return { text: problem, tone: 'caution' };
  const value = widthOf(row.value) > valueWidth(width) ? `${row.value}. ` : '';
  const bounds = row.bounds === undefined ? '' : `${row.bounds}. `;
  return { text: music(`${value}${bounds}${row.help}`), tone: 'quiet' };
}

/** Of the form itself. */
const fewestLines = 3;

/** Where columns are few, as many rows as it takes: all others belong to the form. */
function helpRowsFor(help: Help | undefined, width: number, rows: number): number {
  if (width >= 58) return rows >= 13 ? 4 : 3;
  const needed = help === undefined ? 0 : wrappedRows(help.text, width);
  return Math.min(rows - fewestLines, needed);
}

type Line = { readonly key: string; readonly group?: string; readonly row?: FormRow };

export type FormProps = {
  /** '': none. */
  readonly title: string;
  /** Said behind the title. */
  readonly note: string;
  readonly form: readonly FormRow[];
  /** The row the cursor is on. */
  readonly cursor: string;
  readonly typing: Typing | undefined;
  readonly width: number;
  readonly rows: number;
};

/** From so many columns on the rows stand in two columns, each with its labels and values whole. */
const twoColumns = 130;
const between = 4;

/**
 * Where the first column ends: after half of the lines at most as many as have room, with a group
 * whole in one column where that can be.
 */
function firstColumn(lines: readonly Line[], room: number): number {
  const half = Math.ceil(lines.length / 2);
  const isEnough = (end: number): boolean => end <= room && lines.length - end <= room;
  const ends = lines.flatMap(({ group }, place) =>
    group !== undefined && place > 0 && isEnough(place) ? [place] : [],
  );
  const away = (end: number): number => Math.abs(end - half);
  const whole = ends.reduce((best, end) => (away(end) < away(best) ? end : best), ends[0] ?? 0);
  return whole > 0 ? whole : Math.min(room, lines.length);
}

type LinesProps = Pick<FormProps, 'typing' | 'width'> & {
  readonly lines: readonly Line[];
  readonly current: FormRow | undefined;
  readonly room: number;
};

function Lines({ lines, current, typing, width, room }: LinesProps) {
  return (
    <Box flexDirection="column" width={width} height={room} flexShrink={0} overflow="hidden">
      {lines.map((line) =>
        line.row === undefined ? (
          <Words key={line.key} tone="quiet">
            {line.group}
          </Words>
        ) : (
          <FormLine
            key={line.key}
            row={line.row}
            isCursor={line.row === current}
            typing={typing}
            width={width}
          />
        ),
      )}
    </Box>
  );
}

export function Form({ title, note, form, cursor, typing, width, rows }: FormProps) {
  const place = rowPlace(form, cursor);
  const lines = form.flatMap((row): readonly Line[] => {
    const own = { key: row.id, row };
    return row.group === undefined ? [own] : [{ key: `of ${row.id}`, group: row.group }, own];
  });
  const row = form[place];
  const columns = width >= twoColumns ? 2 : 1;
  const columnWidth = Math.floor((width - (columns - 1) * between) / columns);
  const help = row && helpOf(row, typing, columnWidth);
  const below = rows - (title === '' ? 0 : 1);
  const helpRows = helpRowsFor(help, width, below);
  const room = Math.max(1, below - helpRows);
  const at = lines.findIndex((line) => line.row !== undefined && line.row === row);
  const start = windowStart(lines.length, room * columns, at);
  const shown = lines.slice(start, start + room * columns);
  const end = columns === 1 ? shown.length : firstColumn(shown, room);
  const column = { current: row, typing, width: columnWidth, room };
  return (
    <Box flexDirection="column" width={width} height={rows}>
      {title !== '' && (
        <Words>
          <Run tone="strong">{title}</Run>
          <Run tone="quiet">{note === '' ? '' : `  ${note}`}</Run>
        </Words>
      )}
      <Box columnGap={between} height={room} width={width} flexShrink={0}>
        <Lines {...column} lines={shown.slice(0, end)} />
        {columns > 1 && <Lines {...column} lines={shown.slice(end)} />}
      </Box>
      <Box height={helpRows} flexShrink={0} overflowY="hidden">
        {help !== undefined && (
          <Words tone={help.tone} wrap="wrap">
            {help.text}
          </Words>
        )}
      </Box>
    </Box>
  );
}
