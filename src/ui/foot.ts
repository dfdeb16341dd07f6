/** The keys at the foot and the keys on the help page, both from the one table. */

import { strokesOf } from './key-row.ts';
import { type KeyRow, keysIn } from './keys.ts';
import { type Look, signsOf } from './look.ts';
import type { StageModel } from './stage-model.ts';
import { fill, type Span, widthOf, withAccidentals, wrapWords } from './text.ts';
import type { Typing, View } from './view.ts';

type Lines = readonly (readonly Span[])[];

const printedNames: { readonly [stroke: string]: string } = {
  return: 'Return',
  escape: 'Esc',
  tab: 'Tab',
  'shift-tab': 'Shift Tab',
  space: 'space',
  backspace: 'Backspace',
  delete: 'Delete',
  pageup: 'Page up',
  pagedown: 'Page down',
  home: 'Home',
  end: 'End',
  'ctrl-l': 'Ctrl L',
};

function printedStroke(look: Look, stroke: string): string {
  const signs = signsOf(look);
  const arrows: { readonly [stroke: string]: string } = {
    up: signs.up,
    down: signs.down,
    left: signs.left,
    right: signs.right,
  };
  return arrows[stroke] ?? printedNames[stroke] ?? stroke;
}

/** The keys of a row as the terminal can print them: '1–7', '↑ ↓', 'Return'. */
export function keyLabel(look: Look, row: KeyRow, bindings: StageModel['bindings']): string {
  if (row.figures !== undefined) {
    const [from, to] = row.figures;
    return from === to ? `${from}` : `${from}${signsOf(look).dash}${to}`;
  }
  const strokes = strokesOf(row, bindings);
  const printed = strokes.slice(0, row.isPair ? 2 : 1).map((each) => printedStroke(look, each));
  return printed.join(look.hasUnicode ? ' ' : '/');
}

function whereOf(model: StageModel, view: View): Pick<View, 'page' | 'isEditing'> {
  return { page: view.page, isEditing: view.isEditing && model.editor !== undefined };
}

type Entry = { readonly keys: string; readonly brief: string };

/** Whoever knows these finds the others. */
const alwaysShown: readonly string[] = ['page', 'help', 'leave'];

function entryWidth({ keys, brief }: Entry): number {
  return widthOf(`${keys} ${brief}`);
}

/**
 * As many keys as whole entries fit, in the order of the table; room is kept for those by which a
 * player finds the rest.
 */
export function footLines(
  look: Look,
  model: StageModel,
  view: View,
  rows: number,
  width: number,
): Lines {
  const gap = width < 90 ? 2 : 3;
  const held = keysIn(model.mode, whereOf(model, view)).filter(
    (row) => row.isOffered?.(model, view) ?? true,
  );
  const entryOf = (row: KeyRow): Entry => ({
    keys: keyLabel(look, row, model.bindings),
    brief: row.brief,
  });
  const kept = held.filter((row) => alwaysShown.includes(row.id)).map(entryOf);
  const others = held.filter((row) => !alwaysShown.includes(row.id)).map(entryOf);
  const keptWidth = kept.reduce((sum, entry) => sum + gap + entryWidth(entry), 0);
  const lines: Span[][] = [[]];
  let used = 0;
  const place = (entry: Entry, room: number): void => {
    const wide = entryWidth(entry);
    if (used > 0 && used + gap + wide > room) {
      if (lines.length === rows) return;
      lines.push([]);
      used = 0;
    }
    const space = used > 0 ? ' '.repeat(gap) : '';
    const { keys, brief } = entry;
    lines
      .at(-1)
      ?.push({ text: space + keys, tone: 'strong' }, { text: ` ${brief}`, tone: 'quiet' });
    used += space.length + wide;
  };
  for (const entry of others) place(entry, lines.length === rows ? width - keptWidth : width);
  for (const entry of kept) place(entry, width);
  return lines;
}

/** Asked once to leave: the foot says how to go and how to stay, in place of the keys. */
export function leavingLines(): Lines {
  return [
    [
      { text: 'q', tone: 'strong' },
      { text: ' again leaves and silences everything; any other key stays' },
    ],
  ];
}

/** Letters are text now: the foot says how it ends. */
export function typingLines({ purpose }: Typing): Lines {
  const keys: readonly (readonly [string, string])[] =
    purpose === 'stroke'
      ? [['Esc', 'not now']]
      : [
          ['Return', 'done'],
          ['Esc', 'not now'],
          ['Ctrl U', 'empty'],
        ];
  const ask = purpose === 'stroke' ? 'press the key it should have   ' : 'typing   ';
  return [
    [
      { text: ask, tone: 'quiet' },
      ...keys.flatMap(([key, brief]): readonly Span[] => [
        { text: key, tone: 'strong' },
        { text: ` ${brief}   `, tone: 'quiet' },
      ]),
    ],
  ];
}

/** Changes would be lost: the foot asks, in place of the keys. */
export function unsavedLines(): Lines {
  return [
    [
      { text: 'Not saved yet.  ', tone: 'caution' },
      { text: 's', tone: 'strong' },
      { text: ' save and go   ' },
      { text: 'd', tone: 'strong' },
      { text: ' drop the changes   any other key stays' },
    ],
  ];
}

export const cautions = [
  'Added voices raise the level: set monitoring low first.',
  'Wide stretches strain hands.',
] as const;

function legend(look: Look): string {
  return look.hasUnicode
    ? 'Motion in semitones: ↑2 up, ↓1 down, = stays. On the staff, ↑ ↓ instead of a head: above, below what it shows. Keyboard: ○ played, ● sounds, ◉ both.'
    : 'Motion in semitones: +2 up, -1 down, = stays. On the staff, ^ v instead of a head: above, below what it shows. Keyboard: o played, * sounds, @ both.';
}

/** Dashes and the like as the terminal can print them. */
function printable(look: Look, text: string): string {
  const { dash } = signsOf(look);
  return look.hasUnicode
    ? withAccidentals(look, text)
    : text.replaceAll('–', dash).replaceAll('…', '...');
}

function fitsIn(line: readonly Span[], width: number): boolean {
  return line.reduce((sum, span) => sum + widthOf(span.text), 0) <= width;
}

/** Two columns of keys with a few words, for a small terminal. */
function briefLines(look: Look, model: StageModel, rows: readonly KeyRow[], width: number): Lines {
  const column = Math.floor(width / 2);
  const half = Math.ceil(rows.length / 2);
  const keyWidth = look.hasUnicode ? 8 : 12;
  const room = column - keyWidth - 1;
  const cell = (row: KeyRow | undefined): readonly Span[] => {
    if (row === undefined) return [];
    const { brief, short = brief } = row;
    const about = printable(look, short);
    return [
      { text: fill(look, `${keyLabel(look, row, model.bindings)} `, keyWidth), tone: 'strong' },
      { text: fill(look, widthOf(about) <= room ? about : brief, room + 1) },
    ];
  };
  return Array.from({ length: half }, (_, row) => [...cell(rows[row]), ...cell(rows[row + half])]);
}

/** The help page: every key of the page, the signs, and the caution in quiet lines if they fit. */
export function helpLines(
  look: Look,
  model: StageModel,
  view: View,
  rows: number,
  width: number,
): Lines {
  const held = keysIn(model.mode, whereOf(model, view));
  const keyWidth = look.hasUnicode ? 8 : 12;
  const full = held.map((row): readonly Span[] => [
    { text: fill(look, keyLabel(look, row, model.bindings), keyWidth), tone: 'strong' },
    { text: printable(look, row.help) },
  ]);
  const isFitting = full.every((line) => fitsIn(line, width)) && full.length + 2 <= rows;
  const keys = isFitting ? full : briefLines(look, model, held, width);
  const inOne = cautions.join(' ');
  const caution = widthOf(inOne) <= width ? [inOne] : cautions;
  const quiet = (view.page === 'stage' ? [...wrapWords(legend(look), width)] : [])
    .concat(caution)
    .map((text): readonly Span[] => [{ text, tone: 'quiet' }]);
  const spare = rows - keys.length - quiet.length;
  const shownQuiet = keys.length + quiet.length <= rows ? quiet : quiet.slice(-caution.length);
  const gap = spare >= 3 ? [[]] : [];
  return [...(spare >= 4 ? [[]] : []), ...keys, ...gap, ...shownQuiet];
}
