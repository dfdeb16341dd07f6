/**
 * The one table of keys. What a keystroke does, the help page and the line at the foot all come
 * from it, and so do the names by which settings move a key elsewhere.
 *
 * Only keys that stand on every Latin keyboard without a dead key or a third level: arrows, Tab,
 * Esc, Return, space, comma, full stop, slash, plus, letters (chosen for the word, never for their place) and
 * figures.
 */

import type { StageModel } from '../stage-model.ts';
import { type Page, pages, reduceView, type View } from '../view.ts';
import { chartKeys } from './charts-keys.ts';
import { choiceKeys } from './choices-keys.ts';
import { chordKeys } from './chords-keys.ts';
import { editorKeys, setUpKeys } from './forms-keys.ts';
import { keyInWords } from './key-label.ts';
import { type KeyAction, type KeyRow, viewAction, whichOf } from './key-row.ts';
import { type Keystroke, strokeName } from './keystroke.ts';
import { presetKeys } from './presets-keys.ts';
import { adjustingKeys, playingKeys, rehearsalKeys, stageKeys, tuneKeys } from './stage-keys.ts';

export type { KeyAction, KeyRow } from './key-row.ts';
export { figureOf } from './keystroke.ts';

/** On every page. */
const everywhere: readonly KeyRow[] = [
  {
    id: 'page',
    strokes: ['tab', 'shift-tab'],
    brief: 'page',
    short: 'next page',
    help: 'next page: stage, presets, chords, charts, set-up (Shift Tab: before)',
    act: ({ which, view, model }) => {
      const action = { type: 'turnPage', step: which === 0 ? 1 : -1 } as const;
      const { page: next } = reduceView(view, action);
      if (next === 'charts') return { type: 'view', action, intent: { type: 'lookForCharts' } };
      return next === 'set-up' && model.mode === 'ports'
        ? { type: 'view', action, intent: { type: 'lookForPorts' } }
        : viewAction(action);
    },
  },
  {
    id: 'record',
    strokes: ['r'],
    brief: 'record',
    short: 'record a take, or end it',
    help: 'record a take; again: end it and keep it',
    act: () => ({ type: 'toggleRecording' }),
  },
  {
    id: 'keep',
    strokes: ['w'],
    brief: 'keep last',
    short: 'keep the last 10 minutes',
    help: 'what was just played, the last ten minutes, becomes a take',
    pages: ['stage', 'presets', 'charts', 'set-up'],
    isEditing: false,
    act: () => ({ type: 'keepLast' }),
  },
  {
    id: 'panic',
    strokes: ['p'],
    brief: 'panic',
    short: 'silence everything',
    help: 'panic: silence everything',
    act: () => ({ type: 'panic' }),
  },
  {
    id: 'help',
    strokes: ['h', '?'],
    brief: 'help',
    short: 'close this page',
    help: 'open or close this page (so does ?)',
    act: () => viewAction({ type: 'toggleHelp' }),
  },
  {
    id: 'leave',
    strokes: ['q'],
    brief: 'leave',
    short: 'leave (press it twice)',
    help: 'leave, pressed twice (Ctrl C: at once)',
    act: ({ view }) => (view.isLeaving ? { type: 'quit' } : viewAction({ type: 'askToLeave' })),
  },
];

const last: readonly KeyRow[] = [
  {
    id: 'back',
    strokes: ['escape'],
    brief: 'back',
    short: 'back to the stage',
    help: 'close what is open; back to the stage',
    act: ({ view, model }) => {
      const isLearning = model.getSetUp !== undefined && view.page === 'set-up';
      const isLeavingEditor = view.page === 'presets' && view.isEditing && !view.isHelpOpen;
      return {
        type: 'view',
        action: { type: 'back' },
        ...(isLearning && { intent: { type: 'stopLearning' } }),
        ...(isLeavingEditor && { intent: { type: 'stopEditing' } }),
      };
    },
  },
  {
    id: 'redraw',
    strokes: ['ctrl-l'],
    brief: 'redraw',
    short: 'draw again',
    help: 'draw the screen again',
    act: () => ({ type: 'redraw' }),
  },
];

/** Always works, whatever is typed or moved elsewhere. */
const atOnce: KeyRow = {
  id: 'quit',
  strokes: ['ctrl-c'],
  brief: 'leave',
  help: 'leave at once',
  act: () => ({ type: 'quit' }),
};

/** In the order of the foot: what a player wants first stands first, as the foot cuts the rest. */
export const keyTable: readonly KeyRow[] = [
  ...playingKeys,
  ...stageKeys,
  ...presetKeys.slice(0, 7),
  ...editorKeys,
  ...chordKeys,
  ...chartKeys,
  ...setUpKeys,
  ...everywhere,
  ...choiceKeys,
  ...tuneKeys,
  ...presetKeys.slice(7),
  ...rehearsalKeys,
  ...adjustingKeys,
  ...last,
];

/** Keys that can be moved: one row for each id. */
export const movableKeys: readonly KeyRow[] = keyTable.filter(
  (row, place) =>
    row.strokes.length > 0 && keyTable.findIndex((each) => each.id === row.id) === place,
);

type Where = Pick<View, 'page' | 'isEditing'>;

function holds(row: KeyRow, mode: StageModel['mode'], { page, isEditing }: Where): boolean {
  if (row.mode !== undefined && row.mode !== mode) return false;
  if (row.isEditing !== undefined && row.isEditing !== isEditing) return false;
  return row.pages === undefined || row.pages.includes(page);
}

/** The rows that hold in a mode on a page, in order. */
export function keysIn(
  mode: StageModel['mode'],
  where: Where = { page: 'stage', isEditing: false },
): readonly KeyRow[] {
  return keyTable.filter((row) => holds(row, mode, where));
}

/** Whether two rows can ever hold at the same time. */
function canMeet(one: KeyRow, other: KeyRow): boolean {
  const areModesApart = one.mode && other.mode && one.mode !== other.mode;
  const isEditingApart =
    one.isEditing !== undefined &&
    other.isEditing !== undefined &&
    one.isEditing !== other.isEditing;
  const arePagesApart =
    one.pages && other.pages && !one.pages.some((page) => other.pages?.includes(page));
  return !(areModesApart || isEditingApart || arePagesApart);
}

/** What is wrong with keys moved elsewhere: one sentence each; empty when all is in order. */
export function bindingProblems(bindings: NonNullable<StageModel['bindings']>): readonly string[] {
  const problems: string[] = [];
  for (const [id, strokes] of Object.entries(bindings)) {
    const rows = keyTable.filter((row) => row.id === id);
    if (rows.length === 0) problems.push(`The screen has nothing called '${id}' to move a key to.`);
    for (const stroke of strokes) {
      const taken = keyTable.find(
        (other) =>
          other.id !== id &&
          (bindings[other.id] ?? other.strokes).includes(stroke) &&
          rows.some((row) => canMeet(row, other)),
      );
      const isFigure = /^[0-9]$/.test(stroke);
      const label = keyInWords(stroke);
      if (isFigure || stroke === 'ctrl-c') {
        problems.push(`'${label}' cannot be moved to '${id}'; choose a letter.`);
      } else if (taken !== undefined) {
        problems.push(`'${label}' already is '${taken.id}'; choose another key for '${id}'.`);
      }
    }
  }
  return problems;
}

/** What to say of a key that does nothing now, though it would elsewhere; '' for no key of ours. */
export function hintFor(stroke: Keystroke, view: View, model: StageModel): string {
  const isEditing = view.isEditing && model.editor !== undefined;
  const rowOn = (each: Page): KeyRow | undefined =>
    keysIn(model.mode, { page: each, isEditing: each === view.page && isEditing }).find(
      (row) => whichOf(row, stroke, model.bindings) !== undefined,
    );
  const here = rowOn(view.page);
  if (here !== undefined)
    return here.isOffered?.(model, view) === false ? (here.otherwise ?? '') : '';
  const page = stroke.type === 'character' ? pages.find(rowOn) : undefined;
  return page === undefined
    ? ''
    : `${keyInWords(strokeName(stroke))} works on the ${page} page; Tab turns the pages.`;
}

/** What a keystroke does now, or undefined when it is no key of ours. */
export function actionOf(stroke: Keystroke, view: View, model: StageModel): KeyAction | undefined {
  const phase = stroke.type === 'character' ? stroke.phase : undefined;
  if (strokeName(stroke) === 'ctrl-c') return atOnce.act({ view, model, which: 0 });
  const isEditing = view.isEditing && model.editor !== undefined;
  for (const row of keysIn(model.mode, { page: view.page, isEditing })) {
    const which = whichOf(row, stroke, model.bindings);
    if (which === undefined || (phase === 'release' && row.id !== 'degree')) continue;
    const action = row.act({ view, model, which, ...(phase !== undefined && { phase }) });
    if (action) return action;
  }
  return undefined;
}
