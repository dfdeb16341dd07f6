/**
 * What belongs to the screen alone: whether help is open, what the arrows move ("in hand"), and
 * whether the player has asked once to leave. The reducer is pure.
 */
import type { RegisterEdge, RegisterName } from './stage-model.ts';

export type InHand =
  | { readonly type: 'key' }
  | { readonly type: 'register'; readonly register: RegisterName; readonly edge: RegisterEdge };

export type View = {
  readonly isHelpOpen: boolean;
  readonly inHand: InHand;
  /** A first q was pressed; only a second one leaves, so that a stray key never ends a concert. */
  readonly isLeaving: boolean;
};

export type ViewAction =
  | { readonly type: 'toggleHelp' }
  | { readonly type: 'closeHelp' }
  | { readonly type: 'takeKey' }
  /** Takes the register in hand whole; taken again, its lowest end, its highest, whole again. */
  | { readonly type: 'takeRegister'; readonly register: RegisterName }
  | { readonly type: 'takeNext'; readonly step: 1 | -1 }
  | { readonly type: 'askToLeave' }
  | { readonly type: 'stay' };

export const openingView: View = { isHelpOpen: false, inHand: { type: 'key' }, isLeaving: false };

const edges: readonly RegisterEdge[] = ['both', 'lowest', 'highest'];

/** Everything the arrows can move, in the order Tab goes through. */
export const inHandOrder: readonly InHand[] = [
  { type: 'key' },
  ...edges.map((edge): InHand => ({ type: 'register', register: 'upper', edge })),
  ...edges.map((edge): InHand => ({ type: 'register', register: 'bass', edge })),
];

function isSame(a: InHand, b: InHand): boolean {
  if (a.type === 'key' || b.type === 'key') return a.type === b.type;
  return a.register === b.register && a.edge === b.edge;
}

function taken(now: InHand, register: RegisterName): InHand {
  if (now.type === 'key' || now.register !== register) {
    return { type: 'register', register, edge: 'both' };
  }
  const edge = edges[(edges.indexOf(now.edge) + 1) % edges.length] ?? 'both';
  return { type: 'register', register, edge };
}

export function reduceView(view: View, action: ViewAction): View {
  switch (action.type) {
    case 'toggleHelp':
      return { ...view, isHelpOpen: !view.isHelpOpen };
    case 'closeHelp':
      return { ...view, isHelpOpen: false };
    case 'takeKey':
      return { ...view, inHand: { type: 'key' } };
    case 'takeRegister':
      return { ...view, inHand: taken(view.inHand, action.register) };
    case 'takeNext': {
      const place = inHandOrder.findIndex((each) => isSame(each, view.inHand));
      const next = inHandOrder.at((place + action.step) % inHandOrder.length);
      return { ...view, inHand: next ?? view.inHand };
    }
    case 'askToLeave':
      return { ...view, isLeaving: true };
    case 'stay':
      return view.isLeaving ? { ...view, isLeaving: false } : view;
  }
}
