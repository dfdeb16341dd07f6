/**
 * When most of a hand has come up: what stays of it holds the chord for a moment only. Times are
 * microseconds.
 */
import type { SoundingChord } from './sounding-chord.ts';

/** No longer than this. Common practice. */
const handGoneMicroseconds = 200_000;

export type HandGone = {
  /** A key of the chord may have come up. */
  readonly note: (chord: SoundingChord, at: number) => void;
  /** The hand is at the keys again, or nothing sounds that it would hold. */
  readonly forget: () => void;
  /** When the chord ends because of it; undefined: the hand is there. */
  readonly endsAt: () => number | undefined;
};

export function createHandGone(): HandGone {
  let endsAt: number | undefined;
  return {
    note({ keys, touch }, at) {
      if (keys.length > 0 && keys.length * 2 < touch.length) endsAt ??= at + handGoneMicroseconds;
    },
    forget() {
      endsAt = undefined;
    },
    endsAt: () => endsAt,
  };
}
