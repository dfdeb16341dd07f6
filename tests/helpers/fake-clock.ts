/** A clock that stands still until told: `advanceTo` runs what is due, in order of its time. */
import type { Clock } from '../../src/io/clock.ts';

export type FakeClock = Clock & {
  readonly advanceTo: (atMicroseconds: number) => void;
  /** Time passes without anything being called: the thread was busy. */
  readonly stallTo: (atMicroseconds: number) => void;
  readonly scheduled: () => number;
};

export function createFakeClock(): FakeClock {
  let now = 0;
  let entries: { readonly at: number; readonly run: () => void }[] = [];
  const schedule: Clock['schedule'] = (at, run) => {
    const entry = { at, run };
    entries.push(entry);
    return () => {
      entries = entries.filter((other) => other !== entry);
    };
  };
  return {
    now: () => now,
    schedule,
    later: schedule,
    advanceTo(target) {
      for (;;) {
        const next = [...entries].sort((a, b) => a.at - b.at)[0];
        if (!next || next.at > target) break;
        entries = entries.filter((other) => other !== next);
        now = Math.max(now, next.at);
        next.run();
      }
      now = Math.max(now, target);
    },
    stallTo: (at) => {
      now = at;
    },
    scheduled: () => entries.length,
  };
}
