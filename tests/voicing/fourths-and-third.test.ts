/**
 * Three fourths and a third on every root. Source of the shape: Wikipedia, 'So What chord'; its
 * variants are computed from the definition, their order: common practice, no source.
 */
import { describe, expect, test } from 'vitest';
import { candidates, cheapest } from '../../src/voicing/choose.ts';
import { strategyById } from '../../src/voicing/strategies.ts';
import type { BassPolicy } from '../../src/voicing/voicing.ts';
import { frame, harmonyOf } from './harmonies.ts';

const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
function listOf(symbol: string, policy: BassPolicy = 'root') {
  const own = frame(46, 79, 5, policy);
  const harmony = harmonyOf(symbol, 'thirteenths');
  const list = candidates('fourths-and-third', harmony, own);
  return { harmony, list, best: cheapest(list, undefined, harmony, own)?.voicing };
}

const stepsOf = (notes: readonly number[]): number[] =>
  notes.slice(1).map((note, index) => note - (notes[index] ?? 0));

test.each(['maj7', '6/9', 'm7', 'm11', '9sus4', '7sus4'])(
  '%s has the perfect shape, and first',
  (family) => {
    for (const root of roots) {
      const { best } = listOf(`${root}${family}`, 'none');
      expect(stepsOf(best?.upper ?? []), root).toEqual([5, 5, 5, 4]);
      expect(best?.label, root).toBe('three fourths and a major third');
    }
  },
);

test.each(['7(b9)', '7(#9)', '7alt', '13(b9)', '7', '13', 'dim7', 'm7(b5)', 'm6', '7sus4(b9)'])(
  '%s has one of its own, with all that the symbol names',
  (family) => {
    for (const root of roots) {
      const { harmony, list } = listOf(`${root}${family}`);
      expect(list.fallback, root).toEqual([]);
      const { guides, type } = harmony.palette;
      const faults = list.voicings.filter(({ notes }) => {
        const heard = notes.reduce(
          (mask, note) => mask | (1 << ((note - harmony.chord.root + 120) % 12)),
          0,
        );
        return ((guides | type.required) & ~1 & ~heard) !== 0;
      });
      expect(
        faults.map(({ notes }) => notes.join(' ')),
        root,
      ).toEqual([]);
    }
  },
);

test('a suspended seventh with a flat ninth keeps its seventh', () => {
  const notes = listOf('D7sus4(b9)').list.voicings.map(({ upper }) => upper.join(' '));
  expect(notes).toContain('57 62 67 72 75');
});

describe('an augmented fourth', () => {
  const members = (symbol: string) =>
    strategyById('fourths-and-third').members(
      harmonyOf(symbol, 'thirteenths'),
      frame(46, 79, 5, 'root'),
    );

  test('is one at most, so that a flat ninth stands over its tritone', () => {
    const notes = members('C7(b9)').map(({ upper }) => upper.join(' '));
    expect(notes).toContain('58 64 69 73 78');
    expect(notes).not.toContain('55 61 66 70 76');
  });

  test('is said, and has its price', () => {
    for (const symbol of ['Cm7', 'C7', 'C7(b9)', 'Cmaj7(#11)', 'Cm6', 'Cm7(b5)']) {
      for (const { upper, label, price } of members(symbol)) {
        const isAugmented = stepsOf(upper).includes(6);
        expect(label.includes('one fourth augmented'), `${symbol}: ${upper}`).toBe(isAugmented);
        if (isAugmented) expect(price).toBeGreaterThan(0);
      }
    }
  });

  test('beside the third of five-part fourths costs more where it is not alone', () => {
    const harmony = harmonyOf('C7(b9)', 'thirteenths');
    const found = strategyById('fourths').members(harmony, frame(46, 79, 5, 'root'));
    const priceOf = (notes: string) =>
      found.find(({ upper }) => upper.join(' ') === notes)?.price ?? Number.NaN;
    expect(priceOf('58 64 69 73 78')).toBeLessThan(priceOf('55 61 66 70 76'));
  });
});
