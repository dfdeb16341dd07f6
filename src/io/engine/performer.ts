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

/** Milliseconds behind its time after which the performer goes on from where it was: the machine slept. */
const longestLateness = 1000;

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
      const dueAt = (): number => events[next]?.atMicroseconds ?? lengthMicroseconds;
      const playDue = (elapsed: number): void => {
        const due: number[] = [];
        for (; next < events.length; next += 1) {
          const event = events[next];
          if (event === undefined || event.atMicroseconds > elapsed) break;
          due.push(...event.bytes);
        }
        // In one message: a chord is struck at one time, however busy the machine is.
        if (due.length > 0) play(due);
      };
      const step = (): void => {
        // Else everything overdue would be played in one heap.
        const late = performance.now() - origin - dueAt() / 1000;
        if (late > longestLateness) origin += late;
        const elapsed = (performance.now() - origin) * 1000;
        playDue(elapsed);
        if (next >= events.length && elapsed >= lengthMicroseconds) {
          timer = undefined;
          onEnd();
          return;
        }
        timer = setTimeout(step, Math.max(1, (dueAt() - elapsed) / 1000));
      };
      timer = setTimeout(step, 0);
    },
    stop,
    isPlaying: () => timer !== undefined,
    elapsed: () => (performance.now() - origin) * 1000,
  };
}
