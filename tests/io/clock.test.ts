import { expect, test, vi } from 'vitest';
import { createClock } from '../../src/io/clock.ts';

// In order on a thread that is free: one that is held up for milliseconds may swap two that are overdue.
test('deadlines are never early, come in order, and not inside the caller', {
  retry: 3,
}, async () => {
  const clock = createClock();
  const start = clock.now();
  const offsets = [4500, -1000, 0, 300, 1900, 2400];
  const rung: { readonly wanted: number; readonly at: number }[] = [];
  await new Promise<void>((done) => {
    for (const offset of offsets) {
      clock.schedule(start + offset, () => {
        rung.push({ wanted: start + offset, at: clock.now() });
        if (rung.length === offsets.length) done();
      });
    }
    expect(rung).toEqual([]);
  });
  for (const { wanted, at } of rung) expect(at).toBeGreaterThanOrEqual(wanted);
  expect(rung.at(-1)?.wanted).toBe(start + 4500);
});

test('a cancelled deadline never comes', async () => {
  const clock = createClock();
  let calls = 0;
  const cancel = clock.schedule(clock.now() + 500, () => {
    calls += 1;
  });
  cancel();
  await new Promise<void>((done) => clock.schedule(clock.now() + 1500, done));
  expect(calls).toBe(0);
});

/**
 * Timers as Windows has them, which fire at ticks of 15.6 ms only; turns of the event loop of 50 µs;
 * all in a time of the test's own.
 */
function onCoarseTimers() {
  const tick = 15_625;
  let now = 0;
  let waiting: { readonly at: number; readonly run: () => void }[] = [];
  const add = (at: number, run: () => void) => {
    waiting.push({ at, run });
    return 0;
  };
  vi.spyOn(performance, 'now').mockImplementation(() => now / 1000);
  vi.stubGlobal('setTimeout', (run: () => void, milliseconds: number) =>
    add(Math.ceil((now + milliseconds * 1000) / tick) * tick, run),
  );
  vi.stubGlobal('setImmediate', (run: () => void) => add(now + 50, run));
  return {
    now: () => now,
    runAll() {
      while (waiting.length > 0) {
        const next = waiting.reduce((first, each) => (each.at < first.at ? each : first));
        waiting = waiting.filter((each) => each !== next);
        now = Math.max(now, next.at);
        next.run();
      }
    },
  };
}

test('where timers tick coarsely, deadlines come within a turn of the event loop', () => {
  for (const [tick, latest] of [
    [17, 100],
    [1, 15_000],
  ] as const) {
    const time = onCoarseTimers();
    const clock = createClock(tick);
    let worst = 0;
    for (let wait = 500; wait < 60_000; wait += 777) {
      const due = clock.now() + wait;
      clock.schedule(due, () => {
        worst = Math.max(worst, time.now() - due);
      });
      time.runAll();
    }
    vi.restoreAllMocks();
    vi.unstubAllGlobals();
    expect(worst).toBeLessThanOrEqual(latest);
    // Else the timers were not coarse at all.
    if (tick === 1) expect(worst).toBeGreaterThan(7000);
  }
});
