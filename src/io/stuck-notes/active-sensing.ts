/**
 * Active Sensing at one input: once a keyboard has sent it, silence means that its cable is gone, and
 * its keys' releases with it.
 *
 * Source: MIDI 1.0 Detailed Specification (4.2.1), "Active Sensing": after the first one, some message
 * must come at least every 300 ms, else the receiver turns off all voices and expects none any more.
 * The tenth on top is the tolerance of receivers (from memory).
 */
import type { Cancel, Clock } from '../clock.ts';

/** Microseconds without any message, after which an input that has sent Active Sensing is gone. */
export const longestSilence = 330_000;
/** Looking this much too late means that the thread stood still, and messages may be waiting. */
const stall = 50_000;

export type ActiveSensing = {
  /** Anything arrived; `isSensing` when Active Sensing was among it. */
  readonly heard: (isSensing: boolean) => void;
  /** No longer expected, as at the beginning. */
  readonly forget: () => void;
};

/** `onSilence` is called once; then another Active Sensing must come before silence means anything. */
export function watchActiveSensing(clock: Clock, onSilence: () => void): ActiveSensing {
  let heardAt = 0;
  let cancel: Cancel | undefined;

  // One look per silence, and not one per message: a keyboard sends hundreds between two looks.
  const lookAt = (due: number) => {
    cancel = clock.later(due, () => look(due));
  };
  const look = (due: number) => {
    const now = clock.now();
    if (now - due > stall) lookAt(now + longestSilence);
    else if (now - heardAt < longestSilence) lookAt(heardAt + longestSilence);
    else {
      cancel = undefined;
      onSilence();
    }
  };
  return {
    heard(isSensing) {
      heardAt = clock.now();
      if (isSensing && cancel === undefined) lookAt(heardAt + longestSilence);
    },
    forget() {
      cancel?.();
      cancel = undefined;
    },
  };
}
