/**
 * What belongs to the screen alone: the page, whether help is open, what the arrows move ("in
 * hand"), the cursors of lists and forms, the text being typed, and whether the player has asked
 * once to leave. The reducer is pure; bounds of lists are the drawing's and the keys' affair.
 */
import type { ChordReport, Turn } from '../live/snapshot.ts';
import type { FormName, RegisterEdge, RegisterName } from './stage-model.ts';
import type { Typing } from './typing.ts';

export const pages = ['stage', 'presets', 'chords', 'charts', 'set-up'] as const;
export type Page = (typeof pages)[number];

/** In the order in which they are chosen for turning. */
export const turnsInOrder: readonly Turn[] = ['voicing', 'bass', 'technique', 'lead', 'voices'];

const spokenTurn: Readonly<Record<Turn, string>> = {
  voicing: 'other voicings',
  bass: 'other basses',
  technique: 'other techniques',
  lead: 'a lower or higher lead',
  voices: 'fewer or more voices',
};

export type InHand =
  | { readonly type: 'key' | 'chordType' | 'inversion' | 'level' }
  | { readonly type: 'register'; readonly register: RegisterName; readonly edge: RegisterEdge };

export type View = {
  readonly page: Page;
  readonly isHelpOpen: boolean;
  readonly inHand: InHand;
  /** A first q was pressed; only a second one leaves, so that a stray key never ends a concert. */
  readonly isLeaving: boolean;
  /** What was asked for while a preset has changes that are not saved: it waits for an answer. */
  readonly unsaved: ViewAction | 'quit' | undefined;
  /** The preset the list's cursor is on, by id; undefined: the one that plays. */
  readonly presetCursor: string | undefined;
  /** Which one of it, when it stands in the list more than once; 0 is the first. */
  readonly presetOccurrence: number;
  /** Name of the list on the page, '' for everything; undefined: the one on stage. */
  readonly listShown: string | undefined;
  readonly search: string;
  /** The editor stands in place of the list. */
  readonly isEditing: boolean;
  /** The row each form's cursor is on, by id; '' is the first. */
  readonly row: { readonly [Form in FormName]: string };
  /** How many chords back the cursor of the chords page is; 0 is the newest. */
  readonly chordsBack: number;
  /** The chart the cursor is on, by its file; undefined: the one that is open. */
  readonly chartCursor: string | undefined;
  /** Where the stretch to send begins; undefined, or no longer in the history: nowhere marked. */
  readonly chordMark: ChordReport | undefined;
  readonly typing: Typing | undefined;
  /** Where the key just pressed would have done something; '' for nothing to say. */
  readonly hint: string;
  /** The first key shown on the help page, and what is searched for there. */
  readonly helpFrom: number;
  readonly helpSearch: string;
  /** What the keys that choose by ear turn. */
  readonly turning: Turn;
};

export type ViewAction =
  | { readonly type: 'toggleHelp' }
  /** Closes what is open, innermost first; with nothing open, back to the stage. */
  | { readonly type: 'back' }
  | { readonly type: 'turnPage'; readonly step: 1 | -1 }
  | { readonly type: 'take'; readonly what: 'key' | 'chordType' | 'inversion' | 'level' }
  /** Takes the register in hand whole; taken again, its lowest end, its highest, whole again. */
  | { readonly type: 'takeRegister'; readonly register: RegisterName }
  | {
      readonly type: 'pointAtPreset';
      readonly id: string | undefined;
      readonly occurrence: number;
    }
  | { readonly type: 'showList'; readonly name: string }
  | { readonly type: 'search'; readonly text: string }
  | { readonly type: 'edit'; readonly isEditing: boolean }
  | { readonly type: 'pointAtRow'; readonly form: FormName; readonly id: string }
  | { readonly type: 'lookBack'; readonly chords: number }
  | { readonly type: 'pointAtChart'; readonly file: string | undefined }
  | { readonly type: 'mark'; readonly chord: ChordReport | undefined }
  | { readonly type: 'type'; readonly typing: Typing | undefined }
  | { readonly type: 'turnWhat'; readonly turn: Turn }
  | { readonly type: 'turnHelp'; readonly from: number }
  | { readonly type: 'searchHelp'; readonly text: string }
  | { readonly type: 'askToLeave' }
  | { readonly type: 'stay' };

export const openingView: View = {
  page: 'stage',
  isHelpOpen: false,
  inHand: { type: 'key' },
  isLeaving: false,
  unsaved: undefined,
  presetCursor: undefined,
  presetOccurrence: 0,
  listShown: undefined,
  search: '',
  isEditing: false,
  row: { preset: '', 'set-up': '' },
  chordsBack: 0,
  chartCursor: undefined,
  chordMark: undefined,
  typing: undefined,
  hint: '',
  helpFrom: 0,
  helpSearch: '',
  turning: 'voicing',
};

const edges: readonly RegisterEdge[] = ['both', 'lowest', 'highest'];

function taken(now: InHand, register: RegisterName): InHand {
  if (now.type !== 'register' || now.register !== register) {
    return { type: 'register', register, edge: 'both' };
  }
  const edge = edges[(edges.indexOf(now.edge) + 1) % edges.length] ?? 'both';
  return { type: 'register', register, edge };
}

function back(view: View): View {
  if (view.typing?.target === 'help') {
    return { ...view, typing: undefined, helpSearch: '', helpFrom: 0 };
  }
  if (view.typing !== undefined) {
    const search = view.typing.purpose === 'search' ? '' : view.search;
    return { ...view, typing: undefined, search };
  }
  if (view.isHelpOpen) return { ...view, isHelpOpen: false };
  if (view.page === 'presets' && view.isEditing) return { ...view, isEditing: false };
  if (view.page === 'presets' && view.search !== '') return { ...view, search: '' };
  return { ...view, page: 'stage' };
}

/** Within one page: lists, forms, chords. */
function reduceCursors(view: View, action: ViewAction): View {
  switch (action.type) {
    case 'pointAtPreset':
      return { ...view, presetCursor: action.id, presetOccurrence: action.occurrence };
    case 'showList':
      return { ...view, listShown: action.name };
    case 'search':
      return { ...view, search: action.text, presetCursor: undefined };
    case 'edit':
      return { ...view, isEditing: action.isEditing, row: { ...view.row, preset: '' } };
    case 'pointAtRow':
      return { ...view, row: { ...view.row, [action.form]: action.id } };
    case 'lookBack':
      return { ...view, chordsBack: Math.max(0, action.chords) };
    case 'pointAtChart':
      return { ...view, chartCursor: action.file };
    case 'mark':
      return { ...view, chordMark: action.chord };
    case 'turnHelp':
      return { ...view, helpFrom: Math.max(0, action.from) };
    case 'searchHelp':
      return { ...view, helpSearch: action.text, helpFrom: 0 };
    case 'type':
      return { ...view, typing: action.typing };
    default:
      return view;
  }
}

export function reduceView(view: View, action: ViewAction): View {
  switch (action.type) {
    case 'toggleHelp':
      return { ...view, isHelpOpen: !view.isHelpOpen, helpFrom: 0, helpSearch: '' };
    case 'back':
      return back(view);
    case 'turnPage': {
      const place = pages.indexOf(view.page) + action.step;
      return { ...view, page: pages.at(place % pages.length) ?? 'stage', isHelpOpen: false };
    }
    case 'take':
      return { ...view, inHand: { type: action.what } };
    case 'takeRegister':
      return { ...view, inHand: taken(view.inHand, action.register) };
    case 'turnWhat':
      return {
        ...view,
        turning: action.turn,
        hint: `, and . go to ${spokenTurn[action.turn]} now.`,
      };
    case 'askToLeave':
      return { ...view, isLeaving: true };
    case 'stay':
      return view.isLeaving ? { ...view, isLeaving: false } : view;
    default:
      return reduceCursors(view, action);
  }
}
