/**
 * Four parts. Which tones a triad has twice: B. Aarden and P. von Hippel, 'Rules for Chord Doubling (and
 * Spacing)', Music Theory Online 10.2 (2004), section 6; parallels and resolutions: common practice of
 * part-writing, no source. How often they are kept beside a composer's own voices is counted in
 * chorale-voices.test.ts.
 */
import { describe, expect, test } from 'vitest';
import { candidates, cheapest } from '../../src/voicing/choose.ts';
import { explainMove } from '../../src/voicing/leading.ts';
import { strategyById } from '../../src/voicing/strategies.ts';
import type { Frame, StrategyId, Voicing } from '../../src/voicing/voicing.ts';
import { frame, harmonyOf, numbers } from './harmonies.ts';

const own = (voices = 3): Frame => frame(45, 76, voices, 'as-played');

function member(symbol: string, strategy: StrategyId, notes: string, key?: string): Voicing {
  const found = strategyById(strategy)
    .members(harmonyOf(symbol, 'as-played', key), own(numbers(notes).length - 1))
    .find((each) => each.notes.join(' ') === notes);
  if (found === undefined) throw new Error(`${notes} is no ${strategy} of ${symbol}`);
  return found;
}

const named = (last: Voicing, next: Voicing): readonly string[] =>
  explainMove(last, next)
    .map(({ term }) => term.name)
    .filter((name) => name === 'parallels' || name.endsWith('leaves its part'));

describe('a tone twice', () => {
  test.each([
    ['the root over the third, close', 'C/E', 'close', '40 48 55 60'],
    ['the fifth over the third, close', 'C/E', 'close', '40 55 60 67'],
    ['the third over the root', 'C', 'close', '36 52 55 64'],
    ['the root a third time, without its fifth', 'C', 'close', '36 48 52 60'],
    ['the root over the fifth', 'C/G', 'close', '43 48 52 60'],
    ['the root over the third, open', 'C/E', 'open', '40 48 60 67'],
    ['the fifth over the third, open', 'C/E', 'open', '40 48 55 67'],
  ] as const)('%s', (_reason, symbol, strategy, notes) => {
    expect(member(symbol, strategy, notes).notes).toHaveLength(4);
  });

  // The tonic's dominant and its leading-tone chord in every key.
  const minor = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'G#', 'A', 'Bb', 'B'];
  const names = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
  test.each(['close', 'open'] as const)('never a leading tone, in %s position', (strategy) => {
    for (const [tonic, name] of names.entries()) {
      const dominant = names[(tonic + 7) % 12] ?? '';
      const leading = names[(tonic + 11) % 12] ?? '';
      const second = names[(tonic + 2) % 12] ?? '';
      for (const key of [name, `${minor[tonic]}m`]) {
        for (const symbol of [`${dominant}/${leading}`, dominant, `${leading}dim/${second}`]) {
          const harmony = harmonyOf(symbol, 'as-played', key);
          const list = candidates(strategy, harmony, own());
          const chosen = cheapest(list, undefined, harmony, own());
          const count = chosen?.voicing.notes.filter((note) => note % 12 === (tonic + 11) % 12);
          expect(count, `${symbol} in ${key}`).toHaveLength(1);
        }
      }
    }
  });
});

describe('moves', () => {
  const c = member('C', 'close', '48 55 60 64', 'C');
  test.each([
    ['all parts a step up', c, member('Dm', 'close', '50 57 62 65', 'C'), ['parallels']],
    ['against the bass', c, member('Dm', 'close', '50 53 57 62', 'C'), []],
    [
      'by contrary motion too: a seventh down for a second up',
      c,
      member('Dm', 'close', '38 57 62 65', 'C'),
      ['parallels'],
    ],
    ['a common tone', c, member('F', 'close', '41 57 60 65', 'C'), []],
  ] as const)('%s', (_reason, last, next, found) => {
    expect(named(last, next)).toEqual(found);
  });

  const g7 = member('G7', 'close', '43 59 62 65', 'C');
  test.each([
    [
      'the seventh up to the fifth',
      member('C', 'close', '36 60 64 67', 'C'),
      ['seventh leaves its part'],
    ],
    [
      'all down: the seventh a step, the leading note a third',
      member('C', 'close', '48 55 60 64', 'C'),
      ['leading note leaves its part'],
    ],
    [
      'the seventh up to the root',
      member('C', 'close', '48 60 64 72', 'C'),
      ['seventh leaves its part'],
    ],
  ] as const)('a dominant: %s', (_reason, next, found) => {
    expect(named(g7, next)).toEqual(found);
  });

  test('in other textures nothing of it counts', () => {
    const of = (symbol: string, strategy: StrategyId, voices: number) =>
      strategyById(strategy).members(harmonyOf(symbol, 'thirteenths', 'C'), own(voices));
    for (const [strategy, voices] of [
      ['fourths', 3],
      ['drop-2', 4],
      ['hybrid', 3],
      ['close', 4],
    ] as const) {
      for (const last of of('Dm7', strategy, voices).slice(0, 12)) {
        for (const next of of('G7', strategy, voices)) expect(named(last, next)).toEqual([]);
      }
    }
  });
});
