/**
 * Motion and its price. Distances are counted from the notes (sum of semitones between sorted
 * voices: D. Tymoczko, Science 313, 2006); which moves cost what is our own and only its order is
 * tested.
 */
import { describe, expect, test } from 'vitest';
import { candidates, cheapest } from '../../src/voicing/choose.ts';
import { explainMove, moveCost, standingCost, terms } from '../../src/voicing/leading.ts';
import { motionBetween } from '../../src/voicing/motion.ts';
import { strategyById } from '../../src/voicing/strategies.ts';
import type { StrategyId, Voicing } from '../../src/voicing/voicing.ts';
import { frame, harmonyOf, numbers } from './harmonies.ts';

describe('displacement', () => {
  test.each([
    ['Bm7 to E7, B after A form', '50 54 57 61', '50 54 56 61', 1],
    ['E7 to Amaj7', '50 54 56 61', '49 52 56 59', 5],
    ['Ebm7 to Ab7', '49 53 54 58', '48 53 54 58', 1],
    ['Ab7 to Dbmaj7', '48 53 54 58', '48 51 53 56', 5],
    ['G#m7(b5) to C#7alt', '54 56 59 62', '53 57 59 64', 4],
    ['C#7alt to F#m6/9', '53 57 59 64', '51 56 57 61', 8],
    ['the same to the A form', '53 57 59 64', '57 61 63 68', 16],
    ['five voices planed by a semitone', '49 54 59 64 68', '50 55 60 65 69', 5],
  ])('%s', (_name, from, to, semitones) => {
    expect(motionBetween(numbers(from), numbers(to))).toBe(semitones);
    expect(motionBetween(numbers(to), numbers(from))).toBe(semitones);
  });

  const least = (from: string, to: string, strategy: StrategyId, voices: number): number => {
    const members = (symbol: string) =>
      strategyById(strategy).members(harmonyOf(symbol, 'as-played'), frame(40, 90, voices));
    const moves = members(from).flatMap((one) =>
      members(to).map((other) => motionBetween(one.notes, other.notes)),
    );
    return Math.min(...moves);
  };

  // Counted over all bijections of the pitch classes.
  test.each([
    ['A', 'C#m', 3, 1],
    ['A', 'Am', 3, 1],
    ['A', 'Dm', 3, 2],
    ['Bm7', 'E7', 4, 3],
    ['E7', 'Amaj7', 4, 3],
    ['Adim7', 'Ab7', 4, 1],
    ['Eb7', 'A7', 4, 2],
  ])('the least from %s to %s in %i voices is %i', (from, to, voices, semitones) => {
    expect(least(from, to, 'close', voices)).toBe(semitones);
  });

  test('voices that split or merge come from their neighbour', () => {
    // Two semitones for the split itself.
    expect(motionBetween([60, 64], [60, 64, 67])).toBe(3 + 2);
    expect(motionBetween([60, 64, 67], [60, 64])).toBe(3 + 2);
    expect(motionBetween([], [60])).toBe(0);
  });
});

function member(symbol: string, strategy: StrategyId, notes: string, voices: number): Voicing {
  const harmony = harmonyOf(symbol, 'thirteenths', 'C');
  const found = strategyById(strategy)
    .members(harmony, frame(40, 84, voices, 'root'))
    .find((each) => each.notes.join(' ') === notes);
  if (found === undefined) throw new Error(`${notes} is no ${strategy} of ${symbol}`);
  return found;
}

const costs = (last: Voicing, next: Voicing): readonly string[] =>
  explainMove(last, next).map(({ term }) => term.name);

describe('terms', () => {
  const dominant = member('G7', 'close', '43 59 62 65', 3);

  test('each has a name, a weight and a reason of its own', () => {
    expect(new Set(terms.map(({ name }) => name)).size).toBe(terms.length);
    for (const { name, weight, reason, unit } of terms) {
      expect(weight, name).toBeGreaterThan(0);
      expect(reason, name).toMatch(/^[A-Z].{20,}\.$/);
      expect(unit, name).not.toBe('');
    }
  });

  test('add up to the cost of the move', () => {
    const next = member('Cmaj7', 'close', '36 59 64 67', 3);
    const sum = explainMove(dominant, next).reduce((total, { cost }) => total + cost, 0);
    expect(moveCost(dominant, next)).toBeCloseTo(sum, 10);
    expect(sum).toBeGreaterThan(0);
  });

  test('to stay where one is costs nothing', () => {
    expect(explainMove(dominant, dominant)).toEqual([]);
  });

  test('a seventh that leaps away and a leading note that goes nowhere are charged', () => {
    const resolved = member('Cmaj7', 'close', '36 59 64 67', 3);
    expect(costs(dominant, resolved)).not.toContain('seventh unresolved');
    expect(costs(dominant, resolved)).not.toContain('leading note unresolved');
    const high = member('Cmaj7', 'close', '36 67 71 76', 3);
    expect(costs(dominant, high)).toContain('seventh unresolved');
    expect(costs(dominant, high)).toContain('leading note unresolved');
    expect(costs(dominant, high)).toContain('inner leap');
    expect(costs(dominant, high)).toContain('overlap');
    expect(costs(dominant, high)).toContain('top leap');
  });

  test('a bass that leaps a seventh is charged, an octave is not', () => {
    const low = member('G7', 'close', '31 59 62 65', 3);
    expect(costs(dominant, low)).not.toContain('awkward bass leap');
    const away = member('Fmaj7', 'close', '29 57 60 64', 3);
    const awkward = member('Em7', 'close', '40 59 62 67', 3);
    expect(costs(away, awkward)).toContain('awkward bass leap');
  });

  test('top and bass the same way are charged, contrary motion is not', () => {
    const up = member('Am7', 'close', '45 60 64 67', 3);
    expect(costs(dominant, up)).toContain('outer voices together');
    const apart = member('Fmaj7', 'close', '41 60 64 69', 3);
    expect(costs(dominant, apart)).not.toContain('outer voices together');
  });
});

test('the cheapest next voicing is the one by hand', () => {
  // Rootless left-hand voicings alternate their forms: D. Tymoczko, A Geometry of Music, fig. 10.1.2.
  const hand = { ...frame(48, 69, 4), upper: { lowest: 48, highest: 69 } };
  let last: Voicing | undefined;
  const played = ['Bm7', 'E13', 'Amaj9'].map((symbol) => {
    const harmony = harmonyOf(symbol, 'thirteenths', 'A');
    const list = candidates('rootless', harmony, hand);
    const start = list.voicings.find(({ notes }) => notes.join(' ') === '50 54 57 61');
    last = last === undefined ? start : cheapest(list, last, harmony, hand)?.voicing;
    return last?.notes.join(' ');
  });
  expect(played).toEqual(['50 54 57 61', '50 54 56 61', '49 52 56 59']);
});

describe('where a voicing stands', () => {
  // A flat ninth over the root is the one minor ninth allowed: C. Israels, Exploring Jazz Arranging,
  // lesson 5. That it is harsh right over the bass: common practice, no source.
  test('a minor ninth over the bass costs more than an octave further away', () => {
    const own = frame(40, 84, 4, 'root');
    const near = member('G7(b9)', 'close', '43 56 59 62 65', 4);
    const far = member('G7(b9)', 'close', '31 56 59 62 65', 4);
    expect(standingCost(near, own)).toBeGreaterThan(standingCost(far, own));
  });
});
