/** Parallel leading. Source of the definitions: M. Lavengood, course page on planing. */
import { describe, expect, test } from 'vitest';
import { parseKey } from '../../src/harmony/key.ts';
import { planed } from '../../src/voicing/planing.ts';
import { strategyById } from '../../src/voicing/strategies.ts';
import type { StrategyId, Voicing } from '../../src/voicing/voicing.ts';
import { frame, harmonyOf, numbers } from './harmonies.ts';

function start(symbol: string, strategy: StrategyId, notes: string): Voicing {
  const upper = numbers(notes);
  const found = strategyById(strategy)
    .members(harmonyOf(symbol, 'thirteenths'), frame(40, 80, upper.length))
    .find((each) => each.notes.join(' ') === notes);
  if (found === undefined) throw new Error(`${notes} is no ${strategy} of ${symbol}`);
  return found;
}

function keyOf(name: string) {
  const parsed = parseKey(name);
  return parsed.ok ? parsed.value : undefined;
}

describe('exactly', () => {
  const shape = start('C#m11', 'fourths-and-third', '49 54 59 64 68');

  test.each([
    ['Dm11', '50 55 60 65 69'],
    ['C#m11', '49 54 59 64 68'],
    ['Bm11', '47 52 57 62 66'],
    ['Ebmaj7', '51 56 61 66 70'],
  ])('on %s', (symbol, notes) => {
    const next = planed(
      shape,
      harmonyOf(symbol, 'thirteenths'),
      frame(45, 79, 5),
      'exact',
      undefined,
    );
    expect(next.notes.join(' ')).toBe(notes);
    expect(next.label).toContain('in parallel');
  });

  test('turns by an octave at the edge of the register', () => {
    const next = planed(
      shape,
      harmonyOf('Bm11', 'thirteenths'),
      frame(49, 79, 5),
      'exact',
      undefined,
    );
    expect(next.notes.join(' ')).toBe('59 64 69 74 78');
  });
});

describe('diatonically in E major', () => {
  const shape = start('C#m7', 'fourths', '54 59 64');

  test.each([
    // By 2 scale steps up, the second fourth is augmented: A-D# below G#.
    ['D#m7(b5)', '56 61 66'],
    ['E', '57 63 68'],
  ])('on %s', (symbol, notes) => {
    const key = keyOf('E');
    const next = planed(
      shape,
      harmonyOf(symbol, 'thirteenths', 'E'),
      frame(50, 79, 3),
      'diatonic',
      key,
    );
    expect(next.notes.join(' ')).toBe(notes);
  });

  test('without a key moves exactly', () => {
    const next = planed(
      shape,
      harmonyOf('E', 'thirteenths'),
      frame(50, 79, 3),
      'diatonic',
      undefined,
    );
    expect(next.notes.join(' ')).toBe('57 62 67');
  });
});

test('a held bass stays, any other moves along inside its register', () => {
  const upper = numbers('54 59 64');
  const first: Voicing = {
    bass: 47,
    upper,
    notes: [47, ...upper],
    label: 'three-part fourths over the root',
    price: 0,
    tendencies: { root: 11, sevenths: [], leadingTones: [] },
  };
  const pedal = {
    ...frame(50, 79, 3, 'pedal'),
    bass: { policy: 'pedal' as const, pedal: 47, lowest: 28, highest: 48 },
  };
  const rootBass = {
    ...frame(50, 79, 3, 'root'),
    bass: { policy: 'root' as const, lowest: 36, highest: 48 },
  };
  const harmony = harmonyOf('D7sus4', 'thirteenths');
  expect(planed(first, harmony, pedal, 'exact', undefined).notes).toEqual([47, 57, 62, 67]);
  expect(planed(first, harmony, rootBass, 'exact', undefined).notes).toEqual([38, 57, 62, 67]);
});
