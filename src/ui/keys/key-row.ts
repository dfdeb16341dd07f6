/** A row of the key table, and how a keystroke finds it. */

import type { Intent, StageModel } from '../stage-model.ts';
import type { Page, View, ViewAction } from '../view.ts';
import { figureOf, type Keystroke, strokeName } from './keystroke.ts';

export type KeyAction =
  | Intent
  | { readonly type: 'view'; readonly action: ViewAction; readonly intent?: Intent }
  | { readonly type: 'redraw' };

/** What a row knows when it is struck. */
export type Struck = {
  readonly view: View;
  readonly model: StageModel;
  /** Which of the row's keys it was, 0 for the first; for figures the figure itself. */
  readonly which: number;
  readonly phase?: 'repeat' | 'release';
};

export type KeyRow = {
  /** What settings call it. */
  readonly id: string;
  /** Keys by name as strokeName gives them; the first is printed, or the first two as a pair. */
  readonly strokes: readonly string[];
  /** Figures from and to, which cannot be moved to other keys. */
  readonly figures?: readonly [number, number];
  /** One or two words for the foot of the screen. */
  readonly brief: string;
  /** A few words for the help page of a small terminal; absent: the brief ones will do. */
  readonly short?: string;
  /** A line for the help page. */
  readonly help: string;
  /** The pages it holds on; absent: every page. */
  readonly pages?: readonly Page[];
  /** Only while a preset is edited (true) or while none is (false). */
  readonly isEditing?: boolean;
  /** Only in this mode; absent: always. */
  readonly mode?: StageModel['mode'];
  /** Whether it can do anything now; absent: it can. Else the foot leaves it out. */
  readonly isOffered?: (model: StageModel, view: View) => boolean;
  /** Said where it cannot. */
  readonly otherwise?: string;
  /** The two keys go opposite ways and are printed together. */
  readonly isPair?: boolean;
  readonly act: (struck: Struck) => KeyAction | undefined;
};

export function viewAction(action: ViewAction): KeyAction {
  return { type: 'view', action };
}

/** The keys of a row as the player may have changed them. */
export function strokesOf(row: KeyRow, bindings: StageModel['bindings']): readonly string[] {
  return bindings?.[row.id] ?? row.strokes;
}

/** Which key of the row the stroke is, or undefined when it is none. */
export function whichOf(
  row: KeyRow,
  stroke: Keystroke,
  bindings: StageModel['bindings'],
): number | undefined {
  if (row.figures !== undefined) {
    const figure = figureOf(stroke);
    const [from, to] = row.figures;
    if (figure !== undefined && figure >= from && figure <= to) return figure;
  }
  const place = strokesOf(row, bindings).indexOf(strokeName(stroke));
  return place < 0 ? undefined : place;
}
