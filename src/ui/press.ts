/** A keystroke against the screen as it is: the view after it, and what to ask of the outside. */
import { actionOf, hintFor, type KeyAction } from './keys/keys.ts';
import { type Keystroke, strokeName } from './keys/keystroke.ts';
import { occurrenceAt } from './preset-choice.ts';
import type { Intent, StageModel } from './stage-model.ts';
import type { Typing } from './typing.ts';
import { reduceView, type View, type ViewAction } from './view.ts';

export type Pressed = {
  readonly view: View;
  readonly intent?: Intent;
  /** The terminal may hold stray writes: paint every line again. */
  readonly isRedrawAsked?: boolean;
};

const longestText = 120;

/** Pure. Any key but a second q takes back the wish to leave. */
export function press(stroke: Keystroke, before: View, model: StageModel): Pressed {
  const isRelease = stroke.type === 'character' && stroke.phase === 'release';
  const view = before.hint === '' || isRelease ? before : { ...before, hint: '' };
  return pressOn(stroke, view, model);
}

function pressOn(stroke: Keystroke, view: View, model: StageModel): Pressed {
  if (view.typing !== undefined && strokeName(stroke) !== 'ctrl-c') {
    return typeOn(stroke, view, view.typing, model);
  }
  if (view.unsaved !== undefined && strokeName(stroke) !== 'ctrl-c') {
    return answerUnsaved(stroke, view, view.unsaved, model);
  }
  const turned = view.isHelpOpen ? turnHelp(stroke, view) : undefined;
  return turned === undefined ? actOn(stroke, view, model) : { view: turned };
}

function actOn(stroke: Keystroke, view: View, model: StageModel): Pressed {
  const action = actionOf(stroke, view, model);
  const isRelease = stroke.type === 'character' && stroke.phase === 'release';
  const stays = isRelease ? view : reduceView(view, { type: 'stay' });
  if (!action) return { view: isRelease ? stays : withHint(stroke, stays, model) };
  const staying = inSight(stays, action);
  if (action.type === 'redraw') return { view: staying, isRedrawAsked: true };
  if (action.type !== 'view') return { view: staying, intent: action };
  const next = reduceView(staying, action.action);
  if (losesChanges(view, next, model)) {
    const unsaved = action.action.type === 'askToLeave' ? 'quit' : action.action;
    return { view: { ...staying, unsaved } };
  }
  return { view: next, ...(action.intent !== undefined && { intent: action.intent }) };
}

/** The help page's own keys: the arrows turn it, / searches it. */
function turnHelp(stroke: Keystroke, view: View): View | undefined {
  const name = strokeName(stroke);
  const steps: { readonly [key: string]: number } = { up: -1, down: 1, pageup: -8, pagedown: 8 };
  const step = steps[name];
  if (step !== undefined) return reduceView(view, { type: 'turnHelp', from: view.helpFrom + step });
  if (name !== '/') return undefined;
  const typing: Typing = { purpose: 'search', target: 'help', text: view.helpSearch };
  return reduceView(view, { type: 'type', typing });
}

/** A key that does nothing here is not silently dead: it says where it works. */
function withHint(stroke: Keystroke, view: View, model: StageModel): View {
  const hint = view.isHelpOpen ? '' : hintFor(stroke, view, model);
  return hint === '' ? view : { ...view, hint };
}

/** The editor would close, or the program end, with changes that are in no file. */
function losesChanges(view: View, next: View, { editor }: StageModel): boolean {
  if (editor?.isChanged !== true) return false;
  const isLeavingEditor =
    view.page === 'presets' && view.isEditing && !(next.page === 'presets' && next.isEditing);
  return isLeavingEditor || next.isLeaving;
}

/** What is played goes on, and panic always works. */
const heedless: ReadonlySet<string> = new Set(['panic', 'playDegree', 'releaseDegree', 'letGo']);

/** What is heard, recorded or redrawn needs no page to be seen, and these mind help themselves. */
const doneUnderHelp: ReadonlySet<string> = new Set([
  ...heedless,
  'toggleRecording',
  'keepLast',
  'toggleSound',
  'redraw',
  'toggleHelp',
  'back',
  'askToLeave',
]);

/** A key that changes something on the page under help closes help: nothing changes out of sight. */
function inSight(view: View, action: KeyAction): View {
  if (!view.isHelpOpen) return view;
  const type = action.type === 'view' ? action.action.type : action.type;
  return doneUnderHelp.has(type) ? view : { ...view, isHelpOpen: false };
}

/** w (s, too) saves and goes, d drops and goes, any other key stays. */
function answerUnsaved(
  stroke: Keystroke,
  view: View,
  wish: ViewAction | 'quit',
  model: StageModel,
): Pressed {
  const name = strokeName(stroke);
  if (stroke.type === 'character' && stroke.phase === 'release') return { view };
  const staying: View = { ...view, unsaved: undefined };
  const isQuitting = wish === 'quit';
  if (name === 'd') {
    const gone = isQuitting ? staying : reduceView(staying, wish);
    return { view: gone, intent: { type: 'closeEditor', isSaved: false, isQuitting } };
  }
  if (name === 'w' || name === 's') {
    if (model.editor?.problem !== undefined)
      return { view: staying, intent: { type: 'savePreset' } };
    // Where it goes back to the list, the editor closes by itself once it is saved.
    const gone = isQuitting || wish.type === 'back' ? staying : reduceView(staying, wish);
    return { view: gone, intent: { type: 'closeEditor', isSaved: true, isQuitting } };
  }
  const action = actionOf(stroke, view, model);
  if (action === undefined || !heedless.has(action.type)) return { view: staying };
  return { view: staying, intent: action as Intent };
}

/** Keys while text is typed: letters are letters, Return ends, Esc gives up. */
function typeOn(stroke: Keystroke, view: View, typing: Typing, model: StageModel): Pressed {
  if (stroke.type === 'character' && stroke.phase === 'release') return { view };
  const name = strokeName(stroke);
  if (name === 'escape') {
    const closed = reduceView(view, { type: 'back' });
    return typing.purpose === 'chord'
      ? { view: closed, intent: { type: 'letGo' } }
      : { view: closed };
  }
  if (typing.purpose === 'stroke') {
    const text = name;
    const intent: Intent = { type: 'typeRow', form: 'set-up', id: typing.target, text };
    return { view: { ...view, typing: undefined }, intent };
  }
  if (name === 'return') return entered(view, typing, model);
  return { view: withTyped(stroke, name, view, typing) };
}

function entered(view: View, typing: Typing, model: StageModel): Pressed {
  if (typing.purpose === 'chord') return playWritten(view, typing, model);
  const problem = model.problemOfText?.(typing) ?? '';
  if (problem !== '') return { view: { ...view, typing: { ...typing, problem } } };
  return finish(view, typing);
}

function withTyped(stroke: Keystroke, name: string, view: View, typing: Typing): View {
  const { isSelected = false, problem: _, ...kept } = typing;
  const before = isSelected && replaces(stroke, name) ? '' : typing.text;
  const text = edited(before, stroke, name);
  const { next: _next, ...anew } = kept;
  // Another line begins with its first chord.
  const typed: View = {
    ...view,
    typing: { ...(before === '' || text === '' ? anew : kept), text },
  };
  if (typing.purpose === 'chord' && isStrayKey(text)) {
    const problem = `'${text}' begins no chord: Esc ends typing, and ${text} is a key again.`;
    return { ...typed, typing: { ...anew, text, problem } };
  }
  if (typing.target === 'help') {
    return reduceView(typed, { type: 'searchHelp', text });
  }
  return typing.purpose === 'search' ? { ...typed, search: text, presetCursor: undefined } : typed;
}

/** Somebody has forgotten that letters are text now: no chord, N.C. or number of a preset begins so. */
function isStrayKey(text: string): boolean {
  return [...text].length === 1 && !/[A-Ga-gNn\d\s]/u.test(text);
}

/** Arrows and the like only take the selection away. */
function replaces(stroke: Keystroke, name: string): boolean {
  if (name === 'backspace' || name === 'delete') return true;
  return stroke.type === 'character' && !stroke.hasControl;
}

function edited(text: string, stroke: Keystroke, name: string): string {
  if (name === 'backspace' || name === 'delete') return [...text].slice(0, -1).join('');
  if (name === 'ctrl-u') return '';
  if (stroke.type !== 'character' || stroke.hasControl) return text;
  return `${text}${stroke.typed}`.slice(0, longestText);
}

/**
 * The next chord of the line; the line stays, so that Return after Return plays a tune, and once it
 * was played through the next letter begins another. What is no chord can be mended, or left out by
 * one more Return. A number is a preset by its place in the list on stage, which figures cannot reach
 * while they play.
 */
function playWritten(view: View, typing: Typing, model: StageModel): Pressed {
  const words = typing.text.trim().split(/\s+/).filter(Boolean);
  const isLine = words.length > 1;
  const isLeftOut = isLine && typing.problem !== undefined;
  const place = ((typing.next ?? 0) + (isLeftOut ? 1 : 0)) % Math.max(1, words.length);
  const text = words[place];
  if (text === undefined) return { view: { ...view, typing: undefined } };
  const isNumber = /^\d+$/.test(text);
  const preset = isNumber ? model.presets[Number(text) - 1] : undefined;
  const problem =
    isNumber && preset === undefined
      ? `There is no preset ${text}: the list goes from 1 to ${model.presets.length}.`
      : (model.problemOfText?.({ ...typing, text }) ?? '');
  if (problem !== '') {
    const sentence = isLine ? `${problem} Return again leaves it out.` : problem;
    return { view: { ...view, typing: { ...typing, next: place, problem: sentence } } };
  }
  const { problem: _, ...mended } = typing;
  const after: Typing = { ...mended, next: place + 1, isSelected: place + 1 === words.length };
  const played: View = { ...view, typing: after };
  if (preset === undefined) return { view: played, intent: { type: 'playChord', text } };
  const occurrence = occurrenceAt(model.presets, Number(text) - 1);
  return { view: played, intent: { type: 'choosePreset', id: preset.id, occurrence } };
}

/** `mark`: when the marked chord came; '' for none. */
function learning(name: string, mark: string): Intent {
  return mark === '' ? { type: 'learn', name } : { type: 'learn', name, since: Number(mark) };
}

function finish(view: View, { purpose, target, text }: Typing): Pressed {
  const done: View = { ...view, typing: undefined };
  const name = text.trim();
  switch (purpose) {
    case 'search':
      return { view: done };
    case 'copy':
      if (name === '') return { view: done };
      // The copy is what will be edited; the session answers with it.
      return {
        view: { ...done, isEditing: true, row: { ...done.row, preset: '' }, search: '' },
        intent: { type: 'copyPreset', id: target, name },
      };
    case 'shape':
      return { view: done, intent: { type: 'keepShape', name } };
    case 'learn':
      return name === '' ? { view: done } : { view: done, intent: learning(name, target) };
    case 'setlist':
      if (name === '') return { view: done };
      return {
        view: { ...done, listShown: name },
        intent: { type: 'newSetlist', name, id: target },
      };
    default: {
      const form = view.page === 'presets' ? 'preset' : 'set-up';
      return { view: done, intent: { type: 'typeRow', form, id: target, text: name } };
    }
  }
}
