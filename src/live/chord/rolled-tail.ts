/**
 * The rest of a roll whose keys came up while the sustain pedal is down: the player has played it, so
 * it is heard to its end, each voice struck and let go into the pedal. Times are microseconds.
 */
import type { Message } from '../../midi/message.ts';
import type { Ledger } from '../ledger.ts';
import type { SoundingChord } from './sounding-chord.ts';

type Late = {
  readonly channel: number;
  readonly note: number;
  readonly velocity: number;
  readonly dueAt: number;
};

export type RolledTail = {
  /** The chord ends under the pedal: what is to come of its roll is kept. */
  readonly keep: (chord: SoundingChord) => void;
  /** The pedal is up, or another chord begins: what has not sounded never will. */
  readonly drop: () => void;
  readonly nextAt: () => number | undefined;
  readonly advance: (at: number, ledger: Ledger, out: Message[]) => void;
};

export function createRolledTail(): RolledTail {
  let late: Late[] = [];
  return {
    keep({ voices }) {
      late = voices.flatMap(({ dueAt, ...voice }) =>
        dueAt === undefined ? [] : { ...voice, dueAt },
      );
    },
    drop() {
      late = [];
    },
    nextAt() {
      return late.length === 0 ? undefined : Math.min(...late.map((voice) => voice.dueAt));
    },
    advance(at, ledger, out) {
      const due = late.filter((voice) => voice.dueAt <= at);
      if (due.length === 0) return;
      late = late.filter((voice) => voice.dueAt > at);
      for (const { channel, note, velocity } of due.sort((one, other) => one.dueAt - other.dueAt)) {
        ledger.start(channel, note, velocity, out);
        ledger.stop(channel, note, out);
      }
    },
  };
}
