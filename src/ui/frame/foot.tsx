/** The foot: the keys of the page from the one table, or the question that waits for an answer. */
import { Box } from 'ink';
import { memo } from 'react';
import { keyLabel } from '../keys/key-label.ts';
import type { KeyRow } from '../keys/key-row.ts';
import { keysIn } from '../keys/keys.ts';
import type { StageModel } from '../stage-model.ts';
import { widthOf } from '../text.ts';
import type { Typing } from '../typing.ts';
import type { View } from '../view.ts';
import { sameContent } from './same-content.ts';
import { TextField } from './text-field.tsx';
import { Run, useLook, Words } from './words.tsx';

type FootProps = {
  readonly model: StageModel;
  readonly view: View;
  readonly rows: number;
  readonly width: number;
};

type Entry = { readonly keys: string; readonly brief: string };

/** Whoever knows these finds the others. */
const alwaysShown: readonly string[] = ['page', 'help', 'leave'];

function widthOfEntries(entries: readonly Entry[], gap: number): number {
  return entries.reduce((sum, { keys, brief }) => sum + widthOf(`${keys} ${brief}`) + gap, 0);
}

/** Whole entries in so many lines; what has no room in them is not begun. */
function linesOf(entries: readonly Entry[], width: number, rows: number, gap: number): Entry[][] {
  const lines: Entry[][] = [[]];
  let used = 0;
  for (const entry of entries) {
    const wide = widthOfEntries([entry], gap);
    if (used > 0 && used + wide > width) {
      if (lines.length === rows) break;
      lines.push([]);
      used = 0;
    }
    lines.at(-1)?.push(entry);
    used += wide;
  }
  return lines;
}

type EntriesProps = {
  readonly others: readonly Entry[];
  /** They stand at the end of the last row. */
  readonly kept: readonly Entry[];
  readonly rows: number;
  readonly width: number;
};

const Entries = memo(function Entries({ others, kept, rows, width }: EntriesProps) {
  const gap = width < 90 ? 2 : 3;
  const room = width - widthOfEntries(kept, gap);
  const lines = linesOf(others, room, rows, gap);
  const runs = (entries: readonly Entry[]) =>
    entries.map(({ keys, brief }, place) => (
      <Run key={`${keys} ${brief}`}>
        <Run tone="strong">{keys}</Run>
        <Run tone="quiet">{` ${brief}${place < entries.length - 1 ? ' '.repeat(gap) : ''}`}</Run>
      </Run>
    ));
  return (
    <Box flexDirection="column" width={width} height={rows} flexShrink={0}>
      {Array.from({ length: rows }, (_, row) => {
        const line = lines[row] ?? [];
        const isLast = row === rows - 1;
        const blank = line.length === 0 ? room : room - widthOfEntries(line, gap) + gap;
        return (
          // biome-ignore lint/suspicious/noArrayIndexKey: lines are their places.
          <Words key={row}>
            {runs(line)}
            <Run>{isLast ? ' '.repeat(Math.max(0, blank)) : ' '}</Run>
            {isLast && runs(kept)}
          </Words>
        );
      })}
    </Box>
  );
}, sameContent);

/** As many keys as whole entries fit, in the order of the table; those by which the rest is found stay. */
function Keys({ model, view, rows, width }: FootProps) {
  const look = useLook();
  const where = { page: view.page, isEditing: view.isEditing && model.editor !== undefined };
  const held = keysIn(model.mode, where)
    .filter((row) => row.isOffered?.(model, view) ?? true)
    .map((row) => ({ row, keys: keyLabel(look, row, model.bindings), brief: row.brief }))
    .filter(({ keys }) => keys !== '');
  const always = width < 56 ? ['help'] : alwaysShown;
  // Elsewhere than on the stage the page's own keys are what is looked for; those that play go on.
  const isOwn = ({ row }: { readonly row: KeyRow }) =>
    view.page === 'stage' || row.pages?.includes(view.page) === true;
  const found = held.filter(({ row }) => !always.includes(row.id));
  const entries = (rowsOfKeys: typeof held): readonly Entry[] =>
    rowsOfKeys.map(({ keys, brief }) => ({ keys, brief }));
  return (
    <Entries
      others={entries([...found.filter(isOwn), ...found.filter((each) => !isOwn(each))])}
      kept={entries(held.filter(({ row }) => always.includes(row.id)))}
      rows={rows}
      width={width}
    />
  );
}

/** What is asked for: the place of the text, and how it ends. */
const asks: { readonly [purpose in Typing['purpose']]: string } = {
  search: 'search',
  copy: 'name of the copy',
  setlist: 'name of the setlist',
  row: 'typing',
  stroke: 'press the key it should have',
  chord: 'chord',
  shape: 'name of the shape, none to leave it',
  learn: 'name of what you played',
};

/** What a text of its own is for, where there is little room. */
const shortAsks: { readonly [purpose in Typing['purpose']]?: string } = {
  copy: 'copy',
  setlist: 'setlist',
  shape: 'name, or none',
  learn: 'name',
};

/** What is typed nowhere else on the page. */
const typedInFoot: ReadonlySet<Typing['purpose']> = new Set([
  'copy',
  'setlist',
  'chord',
  'shape',
  'learn',
]);

/** How it ends; in a line of chords, which one Return plays. */
function endings({ purpose, text, next = 0 }: Typing, isHere: boolean): string {
  if (purpose === 'stroke') return 'Esc not now';
  if (purpose !== 'chord') return `Return ${isHere ? 'take it' : 'done'}  Esc not now`;
  const words = text.trim().split(/\s+/).filter(Boolean);
  const which = words.length > 1 ? ` ${words[next % words.length]}` : '';
  return `Return plays${which}  Esc ends typing`;
}

/** Columns for what is typed: the end of a name, and where its next character goes. */
const leastField = 14;

/** The fullest of the words around what is typed that leave it room. */
function wordsAround(typing: Typing, isHere: boolean, width: number) {
  const { purpose, target } = typing;
  const colon = isHere ? ':' : '';
  const marked = purpose === 'learn' && target !== '' ? ', since the mark' : '';
  const short = shortAsks[purpose] ?? asks[purpose];
  const keys = endings(typing, isHere);
  const shortKeys = purpose === 'stroke' ? keys : 'Return, Esc';
  const choices = [
    { ask: `${asks[purpose]}${marked}${colon}`, keys },
    { ask: `${short}${marked}${colon}`, keys },
    { ask: `${short}${marked}${colon}`, keys: shortKeys },
    { ask: `${short}${colon}`, keys: shortKeys },
  ] as const;
  // Two columns between each.
  const roomIn = (words: { ask: string; keys: string }): number =>
    width - words.ask.length - words.keys.length - 4;
  const least = isHere ? leastField : 0;
  const words = choices.find((each) => roomIn(each) >= least) ?? choices[3];
  return { ...words, room: Math.max(8, roomIn(words)) };
}

function TypingFoot({ typing, width }: { readonly typing: Typing; readonly width: number }) {
  const isHere = typedInFoot.has(typing.purpose);
  const { ask, keys, room } = wordsAround(typing, isHere, width);
  return (
    <Box width={width} height={1} columnGap={2} flexShrink={0}>
      <Box flexShrink={0}>
        <Words tone="quiet">{ask}</Words>
      </Box>
      {isHere && <TextField typing={typing} width={room} />}
      <Words tone="quiet">{keys}</Words>
    </Box>
  );
}

export function Foot(props: FootProps) {
  const { view, rows, width } = props;
  if (view.unsaved !== undefined) {
    return (
      <Box height={rows} width={width} flexShrink={0} overflowY="hidden">
        <Words wrap="wrap">
          <Run tone="caution">Not saved yet. </Run>
          <Run tone="strong">w</Run>
          {' save and go  '}
          <Run tone="strong">d</Run>
          {' drop the changes  any other key stays'}
        </Words>
      </Box>
    );
  }
  if (view.isLeaving) {
    return (
      <Box height={rows} width={width} flexShrink={0} overflowY="hidden">
        <Words wrap="wrap">
          <Run tone="strong">q</Run>
          {' again leaves and silences everything; any other key stays'}
        </Words>
      </Box>
    );
  }
  if (view.typing !== undefined) return <TypingFoot typing={view.typing} width={width} />;
  return <Keys {...props} />;
}

/** Rows the foot takes: a question is never cut. */
export function footRowsFor({ unsaved, isLeaving }: View, rows: number, width: number): number {
  if (unsaved === undefined && !isLeaving) return rows;
  return Math.max(rows, width < 60 ? 2 : 1);
}
