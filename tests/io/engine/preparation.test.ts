import { expect, test } from 'vitest';
import { createPreparation } from '../../../src/io/engine/preparation.ts';
import { createFakeClock } from '../../helpers/fake-clock.ts';

test('while keys wait to be read nothing is prepared', () => {
  const clock = createFakeClock();
  const session = {
    hasDeadline: true,
    prepared: 0,
    prepare() {
      this.prepared += 1;
      return false;
    },
  };
  const preparation = createPreparation(clock, session);
  preparation.soon();
  clock.advanceTo(200_000);
  expect(session.prepared).toBe(0);
  session.hasDeadline = false;
  clock.advanceTo(210_000);
  expect(session.prepared).toBe(1);
  // Nothing is left, and nothing turns on.
  clock.advanceTo(1_000_000);
  expect([session.prepared, clock.scheduled()]).toEqual([1, 0]);
  preparation.soon();
  preparation.end();
  // What waits would keep the thread from its end.
  expect(clock.scheduled()).toBe(0);
  clock.advanceTo(2_000_000);
  expect(session.prepared).toBe(1);
});

test('the longer a chord takes, the longer the rest before the next', () => {
  const clock = createFakeClock();
  const times: number[] = [];
  const preparation = createPreparation(clock, {
    hasDeadline: false,
    prepare: () => {
      times.push(clock.now());
      clock.stallTo(clock.now() + 5_000);
      return times.length < 3;
    },
  });
  preparation.soon();
  clock.advanceTo(1_000_000);
  expect(times).toEqual([30_000, 135_000, 240_000]);
});

test('a process that stood still during a chord goes on after a second', () => {
  const clock = createFakeClock();
  const times: number[] = [];
  const preparation = createPreparation(clock, {
    hasDeadline: false,
    prepare: () => {
      times.push(clock.now());
      clock.stallTo(clock.now() + 5_000_000);
      return times.length < 2;
    },
  });
  preparation.soon();
  clock.advanceTo(10_000_000);
  expect(times).toEqual([30_000, 6_030_000]);
});
