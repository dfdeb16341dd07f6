/** Plays timed bytes to somebody who takes bytes, in real time, and can stop at any moment. */
import type { TimedBytes } from '../../take/performance.ts';

export type Performer = {
  /** Starts over; `onEnd` comes once, unless `stop` came first. */
  readonly start: (
    events: readonly TimedBytes[],
    lengthMicroseconds: number,
    onEnd: () => void,
  ) => void;
  /** Plays nothing more; whoever stops lets the notes go. */
  readonly stop: () => void;
  readonly isPlaying: () => boolean;
  /** Microseconds since it began. */
  readonly elapsed: () => number;
};

export function createPerformer(play: (bytes: readonly number[]) => void): Performer {
  let timer: NodeJS.Timeout | undefined;
  let origin = 0;

  const stop = (): void => {
    clearTimeout(timer);
    timer = undefined;
  };

  return {
    start(events, lengthMicroseconds, onEnd) {
      stop();
      origin = performance.now();
      let next = 0;
      const step = (): void => {
        const elapsed = (performance.now() - origin) * 1000;
        for (; next < events.length; next += 1) {
          const event = events[next];
          if (event === undefined || event.atMicroseconds > elapsed) break;
          play(event.bytes);
        }
        const due = events[next]?.atMicroseconds ?? lengthMicroseconds;
        if (next >= events.length && elapsed >= lengthMicroseconds) {
          timer = undefined;
          onEnd();
          return;
        }
        timer = setTimeout(step, Math.max(1, (due - elapsed) / 1000));
      };
      timer = setTimeout(step, 0);
    },
    stop,
    isPlaying: () => timer !== undefined,
    elapsed: () => (performance.now() - origin) * 1000,
  };
}
