/**
 * The keys of a broken chord: each is held from where it is first struck to where it is last left,
 * whatever comes between.
 */

import type { Emit } from './moment.ts';
import { type Event, keyOf, type NoteOn } from './moment.ts';

type Held = {
  readonly source: number;
  /** Ends that are still to be passed over. */
  left: number;
  readonly isVoiced: boolean;
};

export type BrokenKeys = {
  /** A broken chord has been played, the first note of each key; `isVoiced`: it sounds otherwise. */
  readonly hold: (all: readonly NoteOn[], isVoiced: boolean) => void;
  /** True for an end that the engine is not to have. */
  readonly passesOver: (event: Event) => boolean;
};

/** @param emit for the notes between where the chord was none in the end. */
export function createBrokenKeys(emit: Emit): BrokenKeys {
  const held = new Map<number, Held>();
  return {
    hold(all, isVoiced) {
      for (const event of all) {
        const first = held.get(event.key);
        if (event.isPlayed) held.set(event.key, { source: event.source, left: 0, isVoiced });
        else if (first !== undefined) {
          event.isPlayed = true;
          first.left += 1;
          if (!isVoiced) emit(event.tick, event.bytes);
        }
      }
    },
    passesOver(event) {
      if (event.message.type !== 'noteOff') return false;
      const key = keyOf(event.message);
      const first = held.get(key);
      if (first === undefined) return false;
      if (first.left > 0) {
        first.left -= 1;
        if (!first.isVoiced) emit(event.tick, event.bytes);
        return true;
      }
      held.delete(key);
      event.source = first.source;
      return false;
    },
  };
}
