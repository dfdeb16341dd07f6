/** Pauses of a take: what is written short, and what stays as it was. */
import { describe, expect, test } from 'vitest';
import { takeToMidiFile } from '../../src/take/midi-file.ts';
import { pausesTold, withShortPauses } from '../../src/take/pauses.ts';
import type { Take, TakeEvent } from '../../src/take/take.ts';

const second = 1_000_000;
const hour = 3600 * second;
const event = (at: number, ...bytes: number[]): TakeEvent => ({
  atMicroseconds: at,
  direction: 'played',
  bytes,
});
const note = (at: number, length = second): TakeEvent[] => [
  event(at, 0x90, 60, 80),
  event(at + length, 0x80, 60, 64),
];
const takeOf = (events: readonly TakeEvent[], more: Partial<Take> = {}): Take => ({
  events,
  chords: [],
  ...more,
});
const times = ({ events }: Take) => events.map(({ atMicroseconds }) => atMicroseconds / second);

describe('a pause', () => {
  test('of hours is written as seconds, and what follows keeps its own distances', () => {
    const chords = [{ atMicroseconds: 8 * hour, heard: { symbol: 'C' } }];
    const take = takeOf([...note(0), ...note(8 * hour), ...note(8 * hour + 5 * second)], {
      chords,
    });
    const { take: short, pauses } = withShortPauses(take);
    expect(times(short)).toEqual([0, 1, 9, 10, 14, 15]);
    expect(short.chords[0]?.atMicroseconds).toBe(9 * second);
    expect(pausesTold(pauses)).toBe('A pause of 8 h is written as 8 seconds.');
    // Eight hours at 120 would be 14,400 bars.
    expect(takeToMidiFile(short).length).toBeLessThan(takeToMidiFile(take).length + 50);
  });

  test('several are cut one after the other', () => {
    const take = takeOf([...note(0), ...note(hour), ...note(2 * hour)]);
    const { take: short, pauses } = withShortPauses(take);
    expect(times(short)).toEqual([0, 1, 9, 10, 18, 19]);
    expect(pausesTold(pauses)).toBe('Pauses of 1 h, 1 h are written as 8 seconds each.');
  });

  test.each<[string, Take]>([
    ['of two minutes', takeOf([...note(0), ...note(115 * second)])],
    ['under a held note', takeOf([...note(0, 2 * hour), ...note(3 * hour - 3599.5 * second)])],
    [
      'in which a clock goes on',
      takeOf([...note(0), ...note(hour)], {
        clock: Array.from({ length: 3600 }, (_, at) => ({
          atMicroseconds: at * second,
          tempo: 120,
        })),
      }),
    ],
    ['in nothing at all', takeOf([])],
  ])('%s stays as it is', (_name, take) => {
    expect(withShortPauses(take)).toEqual({ take, pauses: [] });
  });
});
