/** The hands at the keys: one for each channel, or one for the keys of all; made when they are used. */
import type { Message } from '../../midi/message.ts';
import type { HandPlayer } from './hand-player-api.ts';

export type Hands = {
  /** The hand of that number, made if there is none yet. */
  readonly at: (id: number) => HandPlayer;
  readonly find: (id: number) => HandPlayer | undefined;
  /** In the order of their numbers. */
  readonly all: () => readonly HandPlayer[];
  /** Those with keys that wait to be read. */
  readonly waiting: () => readonly HandPlayer[];
  readonly deadline: () => number | undefined;
  /** Those that have something due at `at` or before do it. */
  readonly advance: (at: number, out: Message[]) => void;
};

export function createHands(make: (id: number) => HandPlayer): Hands {
  const hands = new Map<number, HandPlayer>();
  // Beside the map: when the next thing is due is asked with every message.
  let inTurn: readonly HandPlayer[] = [];
  return {
    at(id) {
      const found = hands.get(id);
      if (found !== undefined) return found;
      const made = make(id);
      // In the order of their channels, whichever came first: the same input gives the same output.
      const inOrder = [...hands, [id, made] as const].sort(([one], [other]) => one - other);
      hands.clear();
      for (const [each, hand] of inOrder) hands.set(each, hand);
      inTurn = [...hands.values()];
      return made;
    },
    find: (id) => hands.get(id),
    all: () => inTurn,
    waiting: () => inTurn.filter((hand) => hand.isWaiting()),
    deadline() {
      let next: number | undefined;
      for (const hand of inTurn) {
        const at = hand.deadline();
        if (at !== undefined && (next === undefined || at < next)) next = at;
      }
      return next;
    },
    advance(at, out) {
      for (const hand of inTurn) {
        if ((hand.deadline() ?? Number.POSITIVE_INFINITY) <= at) hand.advance(at, out);
      }
    },
  };
}
