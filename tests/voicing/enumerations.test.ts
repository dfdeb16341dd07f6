/** Complete lists of members, counted from the definitions, without any limit applied. */
import { expect, test } from 'vitest';
import { strategyById } from '../../src/voicing/strategies.ts';
import type { StrategyId } from '../../src/voicing/voicing.ts';
import { frame, harmonyOf } from './harmonies.ts';

type Query = readonly [
  symbol: string,
  strategy: StrategyId,
  lowest: number,
  highest: number,
  voices: number,
  key: string | undefined,
  members: string,
];

const queries: readonly Query[] = [
  [
    'Amaj7',
    'close',
    50,
    76,
    4,
    undefined,
    '52 56 57 61 · 56 57 61 64 · 57 61 64 68 · 61 64 68 69 · 64 68 69 73 · 68 69 73 76',
  ],
  [
    'Amaj7',
    'drop-2',
    50,
    76,
    4,
    undefined,
    '52 57 61 68 · 56 61 64 69 · 57 64 68 73 · 61 68 69 76',
  ],
  ['Amaj7', 'drop-3', 50, 76, 4, undefined, '52 61 68 69 · 56 64 69 73 · 57 68 73 76'],
  ['Amaj7', 'drop-2-4', 50, 76, 4, undefined, '52 57 68 73 · 56 61 69 76'],
  ['Ebm7', 'close', 50, 72, 4, undefined, '51 54 58 61 · 54 58 61 63 · 58 61 63 66 · 61 63 66 70'],
  ['Ebm7', 'drop-2', 50, 72, 4, undefined, '51 58 61 66 · 54 61 63 70'],
  ['Emaj7', 'fourths', 50, 67, 3, 'E', '51 56 61 · 54 59 64 · 56 61 66'],
  ['C#m7', 'fourths', 50, 67, 3, 'B', '51 56 61 · 54 59 64 · 56 61 66'],
  ['A7', 'fourths', 50, 67, 3, 'D', '54 59 64 · 55 61 66'],
];

test.each(queries)(
  '%s, %s, %i to %i',
  (symbol, strategy, lowest, highest, voices, key, members) => {
    const growth = strategy === 'fourths' ? 'thirteenths' : 'as-played';
    const harmony = harmonyOf(symbol, growth, key);
    const listed = strategyById(strategy)
      .members(harmony, frame(lowest, highest, voices))
      .map(({ notes }) => notes.join(' '));
    expect([...listed].sort()).toEqual(members.split(' · ').sort());
  },
);
