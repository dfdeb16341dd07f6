/** A keystroke against the screen as it is: the view after it, and what to ask of the outside. */
import { actionOf } from './keys.ts';
import type { Keystroke } from './keystroke.ts';
import type { Intent, StageModel } from './stage-model.ts';
import { reduceView, type View } from './view.ts';

export type Pressed = {
  readonly view: View;
  readonly intent?: Intent;
  /** The terminal may hold stray writes: paint every line again. */
  readonly isRedrawAsked?: boolean;
};

/** Pure. Any key but a second q takes back the wish to leave. */
export function press(stroke: Keystroke, view: View, model: StageModel): Pressed {
  const action = actionOf(stroke, view, model);
  const staying = reduceView(view, { type: 'stay' });
  if (!action) return { view: staying };
  if (action.type === 'redraw') return { view: staying, isRedrawAsked: true };
  if (action.type === 'view') return { view: reduceView(staying, action.action) };
  return { view: staying, intent: action };
}
