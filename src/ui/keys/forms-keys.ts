/** Keys of forms: the editor of a preset, and the set-up page. */
import type { FormRow } from '../form-row.ts';
import type { FormName, Intent, StageModel } from '../stage-model.ts';
import { type KeyAction, type KeyRow, type Struck, viewAction } from './key-row.ts';

export function rowsOf(form: FormName, model: StageModel): readonly FormRow[] {
  return (form === 'preset' ? model.editor?.rows : model.getSetUp?.()) ?? [];
}

/** Place of the form's cursor; 0 when its row is gone. */
export function rowPlace(rows: readonly FormRow[], id: string): number {
  return Math.max(
    0,
    rows.findIndex((row) => row.id === id),
  );
}

function rowAtCursor(form: FormName, { model, view }: Struck): FormRow | undefined {
  const rows = rowsOf(form, model);
  return rows[rowPlace(rows, view.row[form])];
}

function pointAtRow(form: FormName, struck: Struck): KeyAction | undefined {
  const rows = rowsOf(form, struck.model);
  const step = [-1, 1, -8, 8][struck.which] ?? 0;
  const place = rowPlace(rows, struck.view.row[form]) + step;
  const row = rows[Math.min(rows.length - 1, Math.max(0, place))];
  return row && viewAction({ type: 'pointAtRow', form, id: row.id });
}

function typeRow(row: FormRow): KeyAction {
  const { typing = { text: '', isSelected: false } } = row;
  return viewAction({ type: 'type', typing: { purpose: 'row', target: row.id, ...typing } });
}

function enterRow(form: FormName, struck: Struck): KeyAction | undefined {
  const row = rowAtCursor(form, struck);
  if (row === undefined) return undefined;
  switch (row.entry) {
    case 'text':
      return typeRow(row);
    case 'stroke':
      return viewAction({ type: 'type', typing: { purpose: 'stroke', target: row.id, text: '' } });
    case 'learn':
      // No keys to be played there but the computer's own: a range is typed.
      if (struck.model.mode === 'rehearsal' && row.canType) return typeRow(row);
      return row.isLearning ? { type: 'stopLearning' } : { type: 'learnRow', id: row.id };
    case 'none':
      return { type: 'stepRow', form, id: row.id, step: 1 };
  }
}

/** Where the last row goes by it, the cursor goes to the one before and not to the top. */
function clearRow(form: FormName, struck: Struck): KeyAction | undefined {
  const rows = rowsOf(form, struck.model);
  const place = rowPlace(rows, struck.view.row[form]);
  const row = rows[place];
  if (row === undefined) return undefined;
  const intent: Intent = { type: 'clearRow', form, id: row.id };
  const before = rows[place - 1];
  const isLast = row.isTakenOut === true && place === rows.length - 1;
  if (!isLast || before === undefined) return intent;
  return { type: 'view', action: { type: 'pointAtRow', form, id: before.id }, intent };
}

function formKeys(form: FormName, where: Pick<KeyRow, 'pages' | 'isEditing'>): readonly KeyRow[] {
  const onRow =
    (make: (id: string, struck: Struck) => Intent): KeyRow['act'] =>
    (struck) => {
      const row = rowAtCursor(form, struck);
      return row && make(row.id, struck);
    };
  return [
    {
      ...where,
      id: `${form}-row`,
      strokes: ['up', 'down', 'pageup', 'pagedown'],
      isPair: true,
      brief: 'row',
      help: 'row before, row after (Page keys: by eight)',
      act: (struck) => pointAtRow(form, struck),
    },
    {
      ...where,
      id: `${form}-change`,
      strokes: ['left', 'right'],
      isPair: true,
      brief: 'change',
      help: 'next value down, next value up',
      act: onRow((id, { which }) => ({ type: 'stepRow', form, id, step: which === 0 ? -1 : 1 })),
    },
    {
      ...where,
      id: `${form}-enter`,
      strokes: ['return'],
      brief: 'enter',
      help:
        form === 'preset'
          ? 'type the value'
          : 'learn the next control or keys played, type a value, or switch',
      act: (struck) => enterRow(form, struck),
    },
    {
      ...where,
      id: `${form}-clear`,
      strokes: ['x', 'delete', 'backspace'],
      brief: 'clear',
      help: 'empty the row, or set it back to what it was at first',
      act: (struck) => clearRow(form, struck),
    },
  ];
}

const editor = { pages: ['presets'], isEditing: true } as const;

export const editorKeys: readonly KeyRow[] = [
  ...formKeys('preset', editor),
  {
    ...editor,
    id: 'save',
    strokes: ['w'],
    brief: 'keep',
    short: 'save to its file',
    help: 'keep it: save it to its file',
    act: () => ({ type: 'savePreset' }),
  },
  {
    ...editor,
    id: 'undo',
    strokes: ['u'],
    brief: 'undo',
    short: 'undo the last change',
    help: 'undo the last change',
    act: () => ({ type: 'undoEdit' }),
  },
  {
    ...editor,
    id: 'audition-edit',
    strokes: ['space'],
    brief: 'hear',
    short: 'hear the last chord',
    help: 'hear the last chord as it is now; on the row of a kept voicing, that one',
    act: (struck) => ({ type: 'audition', id: '', row: rowAtCursor('preset', struck)?.id ?? '' }),
  },
];

export const setUpKeys: readonly KeyRow[] = [
  ...formKeys('set-up', { pages: ['set-up'] }),
  {
    id: 'set-up-type',
    strokes: ['e'],
    brief: 'edit',
    short: 'type it',
    help: 'edit: type the value, such as C3-D5, instead of playing it',
    pages: ['set-up'],
    act: (struck) => {
      const row = rowAtCursor('set-up', struck);
      return row?.canType || row?.entry === 'text' ? typeRow(row) : undefined;
    },
  },
  {
    id: 'ports',
    strokes: ['/'],
    brief: 'search ports',
    short: 'look for ports',
    help: 'search again for ports',
    pages: ['set-up'],
    act: () => ({ type: 'lookForPorts' }),
  },
];
