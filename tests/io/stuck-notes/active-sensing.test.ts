/**
 * MIDI 1.0 Detailed Specification (4.2.1), "Active Sensing": 300 ms of silence after the first one
 * end everything; a tenth of tolerance (from memory).
 */
import { describe, expect, test } from 'vitest';
import { watchActiveSensing } from '../../../src/io/stuck-notes/active-sensing.ts';
import { createFakeClock } from '../../helpers/fake-clock.ts';

function rig() {
  const clock = createFakeClock();
  const silences: number[] = [];
  const sensing = watchActiveSensing(clock, () => silences.push(clock.now()));
  const hear = (milliseconds: number, isSensing = false) => {
    clock.advanceTo(milliseconds * 1000);
    sensing.heard(isSensing);
  };
  return { clock, sensing, silences, hear };
}

describe('Active Sensing', () => {
  test('an input that never sends it may be silent for ever', () => {
    const { clock, silences, hear } = rig();
    hear(0);
    clock.advanceTo(3.6e9);
    expect(silences).toEqual([]);
    expect(clock.scheduled()).toBe(0);
  });

  test('silence after it is noticed once, 330 ms after the last message of any kind', () => {
    const { clock, silences, hear } = rig();
    hear(0, true);
    hear(250, true);
    hear(400);
    clock.advanceTo(729_999);
    expect(silences).toEqual([]);
    clock.advanceTo(1e9);
    expect(silences).toEqual([730_000]);
    hear(2_000_000);
    clock.advanceTo(1e10);
    expect(silences).toEqual([730_000]);
  });

  test('a keyboard at the slowest it may be is never taken for gone', () => {
    const { silences, hear } = rig();
    for (let at = 0; at < 60_000; at += 300) hear(at, true);
    expect(silences).toEqual([]);
  });

  test('when it comes again it counts again', () => {
    const { clock, silences, hear } = rig();
    hear(0, true);
    hear(5_000, true);
    clock.advanceTo(1e9);
    expect(silences).toEqual([330_000, 5_330_000]);
  });

  test('one look in a third of a second, however many messages come', () => {
    const { clock, hear } = rig();
    for (let at = 0; at < 300; at += 1) {
      hear(at, true);
      expect(clock.scheduled()).toBe(1);
    }
  });

  test('a thread that stood still hears what waited before it judges', () => {
    const { clock, silences, sensing, hear } = rig();
    hear(0, true);
    clock.stallTo(10_000_000);
    clock.advanceTo(10_000_000);
    expect(silences).toEqual([]);
    sensing.heard(true);
    clock.advanceTo(10_329_000);
    expect(silences).toEqual([]);
    clock.advanceTo(10_330_000);
    expect(silences).toEqual([10_330_000]);
  });

  test('a thread that stood still while the cable went notices afterwards', () => {
    const { clock, silences, hear } = rig();
    hear(0, true);
    clock.stallTo(10_000_000);
    clock.advanceTo(11_000_000);
    expect(silences).toEqual([10_330_000]);
  });

  test('forgotten, it is as at the beginning', () => {
    const { clock, silences, sensing, hear } = rig();
    hear(0, true);
    sensing.forget();
    expect(clock.scheduled()).toBe(0);
    clock.advanceTo(1e9);
    expect(silences).toEqual([]);
  });
});
