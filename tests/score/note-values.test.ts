import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { tripletQuarters, valuesOf } from '../../src/score/note-values.ts';
import type { Metre } from '../../src/score/progression.ts';

const metre = (beats: number, unit: number): Metre => ({ tick: 0, beats, unit });
const written = (tick: number, length: number, where: Metre) =>
  valuesOf(tick, length, where)
    .map(({ type, dots, triplet }) => `${type}${'.'.repeat(dots)}${triplet ? '3' : ''}`)
    .join(' ');

// Ticks: a quarter note has 24. What is written follows Read, Music Notation (2nd ed. 1979), ch. 7
// (from memory), as far as no value hides the middle of a 4/4 bar or the beats of a compound metre.
describe('how a length is written', () => {
  test.each<readonly [string, number, number, Metre, string]>([
    ['a whole bar', 0, 96, metre(4, 4), 'whole'],
    ['three beats from the first', 0, 72, metre(4, 4), 'half.'],
    ['three beats from the second', 24, 72, metre(4, 4), 'quarter half'],
    ['two beats over the middle', 24, 48, metre(4, 4), 'quarter quarter'],
    ['a beat and a half', 0, 36, metre(4, 4), 'quarter.'],
    ['a syncopation', 12, 24, metre(4, 4), 'eighth eighth'],
    ['a dotted eighth and its sixteenth', 0, 18, metre(4, 4), 'eighth.'],
    ['a bar of 3/4', 0, 72, metre(3, 4), 'half.'],
    ['a bar of 6/8', 0, 72, metre(6, 8), 'half.'],
    ['a beat of 6/8', 36, 36, metre(6, 8), 'quarter.'],
    ['two eighths of 6/8', 0, 24, metre(6, 8), 'quarter'],
    ['four eighths of 6/8', 0, 48, metre(6, 8), 'quarter. eighth'],
    ['a bar of 5/4', 0, 120, metre(5, 4), 'whole quarter'],
    ['a bar of 7/8', 0, 84, metre(7, 8), 'half. eighth'],
    ['one of three', 0, 8, metre(4, 4), 'eighth3'],
    ['two of three', 8, 16, metre(4, 4), 'quarter3'],
    ['four of three', 0, 32, metre(4, 4), 'quarter eighth3'],
  ])('%s', (_, tick, length, where, expected) => {
    expect(written(tick, length, where)).toBe(expected);
  });

  test('what no value can say is refused', () => {
    expect(() => valuesOf(0, 1, metre(4, 4))).toThrow(RangeError);
  });
});

test('values fill their stretch without a gap, in every metre and on every grid', () => {
  const metres = fc.constantFrom(metre(4, 4), metre(3, 4), metre(6, 8), metre(5, 4), metre(2, 2));
  fc.assert(
    fc.property(
      metres,
      fc.constantFrom(3, 6, 8, 12),
      fc.nat(20),
      fc.nat(20),
      (where, grid, a, b) => {
        const bar = (where.beats * 96) / where.unit;
        const tick = (a * grid) % bar;
        const length = Math.min(bar - tick, (b + 1) * grid);
        const values = valuesOf(tick, length, where, tripletQuarters([tick, tick + length]));
        let at = tick;
        for (const value of values) {
          expect(value.tick).toBe(at);
          at += value.length;
        }
        expect(at).toBe(tick + length);
      },
    ),
    { numRuns: 500, seed: 6 },
  );
});
