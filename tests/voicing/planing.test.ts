/** Parallel leading. Source of the definitions: M. Lavengood, course page on planing. */
import { describe, expect, test } from 'vitest';
import { parseKey } from '../../src/harmony/key/key.ts';
import { type Parallel, planed } from '../../src/voicing/strategies/planing.ts';
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

describe('through a key', () => {
  const scales = { major: [0, 2, 4, 5, 7, 9, 11], minor: [0, 2, 3, 5, 7, 8, 10] } as const;
  const names = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
  const own = frame(45, 84, 4, 'root');

  /** The first voicing of the chord in the key, then its shape on every root given. */
  function course(symbol: string, keyName: string, roots: readonly number[], parallel: Parallel) {
    const key = keyOf(keyName);
    const harmony = harmonyOf(symbol, 'thirteenths', keyName);
    const first = strategyById('fourths').members(harmony, own)[0];
    if (key === undefined || first === undefined) throw new Error(`no ${symbol} in ${keyName}`);
    let last = first;
    return roots.map((root) => {
      const next = harmonyOf(names[root] ?? 'C', 'thirteenths', keyName);
      last = planed(last, next, own, parallel, key);
      return last.notes;
    });
  }

  test.each(['C', 'Eb', 'F#', 'A', 'Cm', 'F#m', 'Bbm'])(
    'on the degrees of %s every tone is of its scale, whatever the first shape has',
    (keyName) => {
      const key = keyOf(keyName);
      if (key === undefined) throw new Error(keyName);
      const scale = scales[key.mode].map((tone) => (tone + key.pitchClass) % 12);
      const tonic = names[key.pitchClass];
      for (const first of [`${tonic}maj7`, `${tonic}7`, `${tonic}m7`, `${tonic}7alt`]) {
        for (const notes of course(first, keyName, [...scale.slice(1), ...scale], 'diatonic')) {
          const foreign = notes.filter((note) => !scale.includes(note % 12));
          expect(foreign, `${first}: ${notes}`).toEqual([]);
          expect(new Set(notes).size).toBe(notes.length);
        }
      }
    },
  );

  test('exactly, where that is asked for, whatever the key', () => {
    const steps = (notes: readonly number[]) =>
      notes.slice(2).map((note, index) => note - (notes[index + 1] ?? 0));
    const shapes = course('Dm7', 'C', [4, 5, 7, 9, 11, 0], 'exact').map(steps);
    expect(new Set(shapes.map((shape) => shape.join(' '))).size).toBe(1);
  });

  test('a root between two degrees takes the shape along, and brings it back', () => {
    const [before, between, after] = course('Em7', 'C', [2, 1, 2], 'diatonic');
    expect(between?.slice(1)).toEqual(before?.slice(1).map((note) => note - 1));
    const classes = (notes: readonly number[] | undefined) => notes?.map((note) => note % 12);
    expect(classes(after)?.every((tone) => scales.major.some((each) => each === tone))).toBe(true);
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
