import { expect, test } from 'vitest';
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
