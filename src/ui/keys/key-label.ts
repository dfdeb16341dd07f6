/** The keys of a row as the terminal can print them: '1–7', '↑ ↓', 'Return'. */

import { type Look, signsOf } from '../look.ts';
import type { StageModel } from '../stage-model.ts';
import { type KeyRow, strokesOf } from './key-row.ts';

const printedNames: { readonly [stroke: string]: string } = {
  return: 'Return',
  escape: 'Esc',
  tab: 'Tab',
  space: 'space',
  backspace: 'Backspace',
  delete: 'Delete',
  pageup: 'Page Up',
  pagedown: 'Page Down',
  home: 'Home',
  end: 'End',
};

const modifiers = [
  ['ctrl-', 'Ctrl'],
  ['shift-', 'Shift'],
] as const;

/** A keystroke by its name as a keyboard has it printed: 'shift-tab' → 'Shift Tab', 'ctrl-l' → 'Ctrl L'. */
function strokeLabel(look: Look, stroke: string): string {
  const held = modifiers.find(([prefix]) => stroke.startsWith(prefix) && stroke !== prefix);
  if (held !== undefined) {
    const [prefix, name] = held;
    const struck = stroke.slice(prefix.length);
    const printed = struck.length === 1 ? struck.toUpperCase() : strokeLabel(look, struck);
    return `${name} ${printed}`;
  }
  const { up, down, left, right } = signsOf(look);
  const arrows: { readonly [name: string]: string } = { up, down, left, right };
  return arrows[stroke] ?? printedNames[stroke] ?? stroke;
}

/** As sentences have it: arrows by their names. */
export function keyInWords(stroke: string): string {
  return strokeLabel({ hasColour: false, hasUnicode: false }, stroke);
}

export function keyLabel(look: Look, row: KeyRow, bindings: StageModel['bindings']): string {
  if (row.figures !== undefined) {
    const [from, to] = row.figures;
    return from === to ? `${from}` : `${from}${signsOf(look).dash}${to}`;
  }
  const strokes = strokesOf(row, bindings);
  const printed = strokes.slice(0, row.isPair ? 2 : 1).map((each) => strokeLabel(look, each));
  return printed.join(look.hasUnicode ? ' ' : '/');
}
