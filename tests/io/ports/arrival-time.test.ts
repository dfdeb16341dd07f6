import { describe, expect, test } from 'vitest';
import { createArrivalTime } from '../../../src/io/ports/arrival-time.ts';

describe('arrival times', () => {
  test('a stalled thread does not shift what came in meanwhile', () => {
    const time = createArrivalTime();
    expect(time.arrived(0, 1_000_000)).toBe(1_000_000);
    // Three messages 10 ms apart, all heard of 50 ms after the first.
    expect(time.arrived(0.01, 1_050_000)).toBe(1_010_002);
    expect(time.arrived(0.01, 1_050_000)).toBe(1_020_004);
    expect(time.arrived(0.01, 1_050_000)).toBe(1_030_006);
  });

  test('a late first message is set right by the first one that is not late', () => {
    const time = createArrivalTime();
    expect(time.arrived(0, 5_040_000)).toBe(5_040_000);
    expect(time.arrived(0.1, 5_100_000)).toBe(5_100_000);
    expect(time.arrived(0.1, 5_230_000)).toBe(5_200_020);
  });

  test('never later than the hearing, and drifting clocks stay within a millisecond', () => {
    const time = createArrivalTime();
    let worst = 0;
    for (let second = 0; second < 3600; second++) {
      // The system's clock loses 100 µs a second; each message is heard of 300 µs late.
      const now = second * 1_000_100 + 300;
      const at = time.arrived(second === 0 ? 0 : 1, now);
      expect(at).toBeLessThanOrEqual(now);
      worst = Math.max(worst, now - at);
    }
    expect(worst).toBeLessThan(1000);
  });

  test.each([
    ['backwards', -3],
    ['to nowhere', Number.NaN],
    ['far ahead', 1e6],
  ])('a clock that jumps %s starts afresh', (_name, delta) => {
    const time = createArrivalTime();
    time.arrived(0, 1_000_000);
    expect(time.arrived(delta, 1_500_000)).toBe(1_500_000);
    expect(time.arrived(0.1, 1_650_000)).toBe(1_600_020);
  });

  test('a long silence of the other clock starts afresh too', () => {
    const time = createArrivalTime();
    time.arrived(0, 0);
    expect(time.arrived(0, 9_000_000)).toBe(9_000_000);
  });

  test.each([1_780_000, 30_000])('a jump by %i µs is followed within seconds', (jump) => {
    const time = createArrivalTime();
    let now = 0;
    const lateness = () => {
      now += 100_000;
      return now - time.arrived(0.1, now);
    };
    for (let count = 0; count < 6000; count += 1) lateness();
    // Our clock goes on by more than the system says.
    now += jump;
    expect(lateness()).toBeGreaterThan(jump - 2000);
    for (let count = 0; count < 61; count += 1) lateness();
    expect(lateness()).toBeLessThan(1000);
  });

  test('a thread that is busy for almost two seconds is no jump: what waited keeps its time', () => {
    const time = createArrivalTime();
    for (let count = 0; count < 100; count += 1) time.arrived(0.1, count * 100_000);
    // The messages of 1.9 seconds are heard at once.
    const ats = Array.from({ length: 19 }, () => time.arrived(0.1, 11_850_000));
    expect(ats[0]).toBeLessThan(10_100_000);
    expect((ats[18] ?? 0) - (ats[0] ?? 0)).toBeGreaterThan(1_700_000);
  });
});
