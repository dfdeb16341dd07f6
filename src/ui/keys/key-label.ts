/** The keys of a row as the terminal can print them: '1–7', '↑ ↓', 'Return'. */

import { type Look, signsOf } from '../look.ts';
import type { StageModel } from '../stage-model.ts';
import { type KeyRow, strokesOf } from './key-row.ts';

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
  'ctrl-r': 'Ctrl R',
};

function printedStroke(look: Look, stroke: string): string {
  const signs = signsOf(look);
  const arrows: { readonly [name: string]: string } = {
    up: signs.up,
    down: signs.down,
    left: signs.left,
    right: signs.right,
  };
  return arrows[stroke] ?? printedNames[stroke] ?? stroke;
}

export function keyLabel(look: Look, row: KeyRow, bindings: StageModel['bindings']): string {
  if (row.figures !== undefined) {
    const [from, to] = row.figures;
    return from === to ? `${from}` : `${from}${signsOf(look).dash}${to}`;
  }
  const strokes = strokesOf(row, bindings);
  const printed = strokes.slice(0, row.isPair ? 2 : 1).map((each) => printedStroke(look, each));
  return printed.join(look.hasUnicode ? ' ' : '/');
}
