/**
 * The one table of keys. What a keystroke does, the help page and the line at the foot all come
 * from it.
 *
 * Only keys that stand on every Latin keyboard without a dead key or a third level: arrows, Tab,
 * Esc, space, letters (chosen for the word, never for their place), figures and '?'. Where the
 * upper row gives figures only with Shift (French, Belgian), its plain characters count as well.
 */
import type { Keystroke } from './keystroke.ts';
import { presetPlace } from './preset-choice.ts';
import type { Intent, ScaleDegree, Semitone, StageModel } from './stage-model.ts';
import type { View, ViewAction } from './view.ts';

export type KeyAction =
  | Intent
  | { readonly type: 'view'; readonly action: ViewAction }
  | { readonly type: 'redraw' };

export type KeyRow = {
  /** As printed: '{up}' and the like stand for the arrow signs of the terminal. */
  readonly keys: string;
  /** One or two words for the foot of the screen. */
  readonly brief: string;
  /** A line for the help page. */
  readonly help: string;
  /** Only in this mode; absent: always. */
  readonly mode?: StageModel['mode'];
  /** What the keystroke does, or undefined when it is not one of this row. */
  readonly act: (stroke: Keystroke, view: View, model: StageModel) => KeyAction | undefined;
};

const rowWithoutShift = ['à', '&1', 'é2', '"3', "'4", '(5', '-6§', 'è7', '_8!', 'ç9'];

/** The figure a keystroke stands for, 0–9. */
export function figureOf(stroke: Keystroke): number | undefined {
  if (stroke.type !== 'character' || stroke.hasControl) return undefined;
  if (stroke.character === '0') return 0;
  const place = rowWithoutShift.findIndex((signs) => signs.includes(stroke.character));
  return place < 0 ? undefined : place;
}

function isLetter(stroke: Keystroke, ...letters: readonly string[]): boolean {
  return stroke.type === 'character' && !stroke.hasControl && letters.includes(stroke.character);
}

function isNamed(stroke: Keystroke, name: string): boolean {
  return stroke.type === 'named' && stroke.name === name;
}

function view(action: ViewAction): KeyAction {
  return { type: 'view', action };
}

function move(view: View, semitones: Semitone): Intent {
  const { inHand } = view;
  if (inHand.type === 'key') return { type: 'transposeKey', semitones };
  return { type: 'moveRegister', register: inHand.register, edge: inHand.edge, semitones };
}

function arrowAcross(stroke: Keystroke, now: View): KeyAction | undefined {
  if (stroke.type !== 'named') return undefined;
  switch (stroke.name) {
    case 'left':
      return move(now, -1);
    case 'right':
      return move(now, 1);
    case 'tab':
      return view({ type: 'takeNext', step: stroke.hasShift ? -1 : 1 });
    default:
      return undefined;
  }
}

function arrowAlong(stroke: Keystroke): KeyAction | undefined {
  if (isNamed(stroke, 'up')) return { type: 'previousPreset' };
  return isNamed(stroke, 'down') ? { type: 'nextPreset' } : undefined;
}

function presetByPlace(stroke: Keystroke, _view: View, model: StageModel): KeyAction | undefined {
  const figure = figureOf(stroke);
  const preset = figure ? model.presets[figure - 1] : undefined;
  if (!preset || presetPlace(model.presets, model.state.snapshot.preset) === (figure ?? 0) - 1) {
    return undefined;
  }
  return { type: 'choosePreset', id: preset.id };
}

function degree(stroke: Keystroke): KeyAction | undefined {
  const figure = figureOf(stroke);
  if (figure === undefined || figure < 1 || figure > 7) return undefined;
  return { type: 'playDegree', degree: figure as ScaleDegree };
}

function letGo(stroke: Keystroke): KeyAction | undefined {
  return isLetter(stroke, ' ') || figureOf(stroke) === 0 ? { type: 'letGo' } : undefined;
}

function leave(stroke: Keystroke, now: View): KeyAction | undefined {
  if (stroke.type === 'character' && stroke.hasControl && stroke.character === 'c') {
    return { type: 'quit' };
  }
  if (!isLetter(stroke, 'q')) return undefined;
  return now.isLeaving ? { type: 'quit' } : view({ type: 'askToLeave' });
}

function help(stroke: Keystroke): KeyAction | undefined {
  if (isLetter(stroke, 'h', '?')) return view({ type: 'toggleHelp' });
  return isNamed(stroke, 'escape') ? view({ type: 'closeHelp' }) : undefined;
}

function letter(character: string, action: KeyAction): KeyRow['act'] {
  return (stroke) => (isLetter(stroke, character) ? action : undefined);
}

function redraw(stroke: Keystroke): KeyAction | undefined {
  const isAsked = stroke.type === 'character' && stroke.hasControl && stroke.character === 'l';
  return isAsked ? { type: 'redraw' } : undefined;
}

/** In the order of the foot: what a player wants first stands first, as the foot cuts the rest. */
export const keyTable: readonly KeyRow[] = [
  {
    keys: '1–7',
    brief: 'play',
    help: 'play the triad on that degree of the key',
    mode: 'rehearsal',
    act: degree,
  },
  {
    keys: '0',
    brief: 'let go',
    help: 'let go (so does the space bar)',
    mode: 'rehearsal',
    act: letGo,
  },
  {
    keys: 'd',
    brief: 'demo',
    help: 'start or stop the demo',
    mode: 'rehearsal',
    act: letter('d', { type: 'toggleDemo' }),
  },
  { keys: '{up}{down}', brief: 'preset', help: 'preset before, preset after', act: arrowAlong },
  {
    keys: '1–9',
    brief: 'preset',
    help: 'preset by its place in the list',
    mode: 'ports',
    act: presetByPlace,
  },
  {
    keys: 'p',
    brief: 'panic',
    help: 'panic: silence everything',
    act: letter('p', { type: 'panic' }),
  },
  { keys: 'h', brief: 'help', help: 'open or close this page (so does ?)', act: help },
  { keys: 'q', brief: 'leave', help: 'leave, pressed twice (Ctrl C: at once)', act: leave },
  {
    keys: '{left}{right}',
    brief: 'move',
    help: 'move what is in hand by a semitone (Tab: next)',
    act: arrowAcross,
  },
  {
    keys: 'k',
    brief: 'key',
    help: 'take the key in hand',
    act: letter('k', view({ type: 'takeKey' })),
  },
  {
    keys: 'v',
    brief: 'voices',
    help: 'take the voices in hand; again: lowest, highest',
    act: letter('v', view({ type: 'takeRegister', register: 'upper' })),
  },
  {
    keys: 'b',
    brief: 'bass',
    help: 'take the bass in hand; again: lowest, highest',
    act: letter('b', view({ type: 'takeRegister', register: 'bass' })),
  },
  {
    keys: 'm',
    brief: 'major/minor',
    help: 'change the key between major and minor',
    act: letter('m', { type: 'toggleMajorMinor' }),
  },
  { keys: 'n', brief: 'no key', help: 'play with no key', act: letter('n', { type: 'clearKey' }) },
  { keys: 'Ctrl L', brief: 'redraw', help: 'draw the screen again', act: redraw },
];

/** The rows that hold in a mode, in order. */
export function keysIn(mode: StageModel['mode']): readonly KeyRow[] {
  return keyTable.filter((row) => row.mode === undefined || row.mode === mode);
}

/** What a keystroke does now, or undefined when it is no key of ours. */
export function actionOf(stroke: Keystroke, view: View, model: StageModel): KeyAction | undefined {
  for (const row of keysIn(model.mode)) {
    const action = row.act(stroke, view, model);
    if (action) return action;
  }
  return undefined;
}
