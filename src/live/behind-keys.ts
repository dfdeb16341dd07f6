/**
 * Order is kept: a channel or system message that arrives while keys wait to be read waits behind
 * them, and so does a wish.
 */
import type { Message } from '../midi/message.ts';
import type { Wish } from './controllers/controls.ts';
import type { HandPlayer } from './hands/hand-player-api.ts';

/** A message to pass on, or a wish to grant. */
export type Later =
  | { readonly message: Message; readonly source: number }
  | { readonly wish: Wish };

export type BehindKeys = {
  /** Carried out now, or behind these hands' waiting keys and what waits already. */
  readonly take: (later: Later, waiting: readonly HandPlayer[], out: Message[]) => void;
  /** Keys have been read: what waited behind them follows, in order. */
  readonly follow: (out: Message[]) => void;
};

export function createBehindKeys(carryOut: (later: Later, out: Message[]) => void): BehindKeys {
  const queue: { readonly later: Later; readonly hands: readonly HandPlayer[] }[] = [];
  return {
    take(later, waiting, out) {
      if (waiting.length > 0 || queue.length > 0) queue.push({ later, hands: waiting });
      else carryOut(later, out);
    },
    follow(out) {
      while (queue.length > 0 && queue[0]?.hands.every((hand) => !hand.isWaiting())) {
        const first = queue.shift();
        if (first !== undefined) carryOut(first.later, out);
      }
    },
  };
}
