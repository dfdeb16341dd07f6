/**
 * Whether a low key by itself is a bass that stands alone, as in stride, or the first key of a chord.
 * Learned from what became of the last low keys: where they have stood alone the next one need not
 * wait for company. Times are microseconds.
 */
import type { HeldKey } from './held-keys.ts';

/** Low keys that stood alone in a row before the next is expected to. Tuned on simulated players. */
const enough = 2;
/** A bass stands this far below the chords that were played last, at least: a fifth. */
const apart = 7;

export type LoneBass = {
  /** A key passed through by itself. */
  readonly noteLone: (key: HeldKey) => void;
  /** These keys are about to become a chord. */
  readonly noteChord: (keys: readonly HeldKey[]) => void;
  readonly isExpected: (key: HeldKey) => boolean;
};

export function createLoneBass(): LoneBass {
  let lowestOfChord = 128;
  /** The last low key that stood alone. */
  let last = -1;
  let inRow = 0;
  let isAfterChord = false;

  return {
    noteLone({ note }) {
      isAfterChord = false;
      if (note > lowestOfChord - apart) return;
      inRow += 1;
      last = note;
    },
    noteChord(keys) {
      // A chord that takes in a key which had passed by itself: it did not stand alone.
      if (keys.some((key) => key.role === 'through')) inRow = 0;
      lowestOfChord = 128;
      for (const { note } of keys) lowestOfChord = Math.min(lowestOfChord, note);
      isAfterChord = true;
    },
    isExpected({ note }) {
      const isNearBass = note - last < lowestOfChord - note;
      return isAfterChord && inRow >= enough && isNearBass && note <= lowestOfChord - apart;
    },
  };
}
