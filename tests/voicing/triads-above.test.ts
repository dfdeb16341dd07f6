/**
 * Upper structures and polychords: which triad stands above. Table of the upper structures on a
 * dominant: computed from the definition (Wikipedia, 'Upper structure'); that a dominant's triad
 * brings two tensions, and the choice by function: common practice, no source. Doubling of the leading
 * tone: B. Aarden and P. von Hippel, Music Theory Online 10.2 (2004), sections 4.2.2 and 6.2.1.
 */
import { describe, expect, test } from 'vitest';
import type { Harmony } from '../../src/harmony/chord/palette.ts';
import { candidates, cheapest } from '../../src/voicing/choose.ts';
import { bestPath } from '../../src/voicing/path.ts';
import type { BassPolicy, Voicing } from '../../src/voicing/voicing.ts';
import { frame, harmonyOf } from './harmonies.ts';

const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const dominants = [
  ...['7', '9', '13', '7(#11)', '7(b5)', '7(#5)', '7(b9)', '7(#9)', '13(b9)', '7(b13)'],
  ...['7(#9,b13)', '7(b9,b13)', '7(b9,#11)', '7alt'],
];
const register = {
  'upper-structure': [45, 76],
  polychord: [45, 79],
  block: [52, 79],
} as const;

function voicingsOf(
  strategy: keyof typeof register,
  symbol: string,
  key?: string,
  policy: BassPolicy = 'root',
) {
  const harmony = harmonyOf(symbol, 'thirteenths', key);
  const [lowest, highest] = register[strategy];
  const own = frame(lowest, highest, strategy === 'polychord' ? 6 : 5, policy);
  const list = candidates(strategy, harmony, own);
  return { harmony, list, best: cheapest(list, undefined, harmony, own) };
}

const above = (note: number, { chord }: Harmony): number => (note - chord.root + 120) % 12;

/** The triad on top, as semitones above the chord's root. */
const triadOf = ({ upper }: Voicing, harmony: Harmony): number[] =>
  upper
    .slice(-3)
    .map((note) => above(note, harmony))
    .sort((a, b) => a - b);

/** Neither root, third, natural fifth nor seventh. */
const isTension = (tone: number): boolean => ![0, 4, 7, 10].includes(tone);

describe('upper structures', () => {
  test('two tensions or more in the triad of every dominant, on every root', () => {
    const faults = roots.flatMap((root) =>
      dominants.flatMap((family) => {
        const { harmony, best, list } = voicingsOf('upper-structure', `${root}${family}`);
        const triad = best === undefined ? [] : triadOf(best.voicing, harmony);
        const isOwn = list.strategy === 'upper-structure' && best?.relaxed.length === 0;
        return isOwn && triad.filter(isTension).length > 1 ? [] : [`${root}${family}: ${triad}`];
      }),
    );
    expect(faults).toEqual([]);
  });

  // The first triad by function. In a minor key the fifth degree has b9, #9 and b13; a dominant on
  // the fourth or the lowered second degree has 9, #11 and 13 (shared/tensions.json and its sources).
  test.each([
    ['G7', 'C', '2 6 9'],
    ['G7', 'Cm', '0 3 8'],
    ['F7', 'C', '2 6 9'],
    ['Db7', 'C', '2 6 9'],
    ['A7', 'C', '0 3 8'],
    ['G9', 'C', '2 6 9'],
    ['G13', 'C', '2 6 9'],
    ['G7(b9,b13)', 'Cm', '1 4 8'],
    ['Cmaj7', 'C', '2 7 11'],
    ['Fmaj7', 'C', '2 6 9'],
    ['Cm(maj7)', 'Cm', '0 5 9'],
    // Its b13 would make it another chord: Bb9 over D.
    ['Dm7(b5)', 'Cm', '3 6 10'],
    ['Fm6', 'Cm', '0 3 7'],
  ])('%s in %s', (symbol, key, wanted) => {
    const { harmony, best } = voicingsOf('upper-structure', symbol, key);
    expect(best === undefined ? '' : triadOf(best.voicing, harmony).join(' ')).toBe(wanted);
  });

  test('no triad on the third of a major seventh, which adds nothing to it', () => {
    for (const root of roots) {
      const { harmony, list } = voicingsOf('upper-structure', `${root}maj7`);
      const dear = list.voicings.filter((each) => triadOf(each, harmony).join() === '4,7,11');
      expect(Math.min(...dear.map(({ price }) => price))).toBeGreaterThan(10);
    }
  });

  test.each([
    ...['7sus4', '9sus4', '13sus4', '7sus4(b9)', 'sus4', 'm(maj7)', 'm6', '6', '6/9', 'm6/9'],
    ...['dim7', 'maj7(#5)', 'm7(b5)'],
  ])('%s has its own on every root', (family) => {
    for (const root of roots) {
      expect(voicingsOf('upper-structure', `${root}${family}`).list.fallback, root).toEqual([]);
    }
  });

  test.each(['third', 'fifth', 'seventh'] as const)(
    'over the %s the root sounds above, where a triad or the voices below can have it',
    (policy) => {
      const faults = roots.flatMap((root) =>
        ['7', 'maj7', 'm7', '9'].flatMap((family) => {
          const { harmony, best } = voicingsOf('upper-structure', `${root}${family}`, 'C', policy);
          const upper = best?.voicing.upper.map((note) => above(note, harmony)) ?? [];
          return upper.includes(0) ? [] : [`${root}${family}: ${upper}`];
        }),
      );
      expect(faults).toEqual([]);
    },
  );
});

describe('a leading tone sounds once', () => {
  test.each(['upper-structure', 'polychord'] as const)('%s', (strategy) => {
    const faults = roots.flatMap((root) =>
      dominants.flatMap((family) => {
        const { harmony, list } = voicingsOf(strategy, `${root}${family}`);
        if (list.fallback.length > 0) return [];
        return list.voicings
          .filter(({ notes }) => notes.filter((note) => above(note, harmony) === 4).length > 1)
          .map(({ notes }) => `${root}${family}: ${notes}`);
      }),
    );
    expect(faults).toEqual([]);
  });

  test('and is no lead of a block on the best path, though by definition the lead is doubled', () => {
    const faults = roots.flatMap((root, at) =>
      dominants.flatMap((family) => {
        const chords = [
          `${root}m7`,
          `${roots[(at + 5) % 12]}${family}`,
          `${roots[(at + 10) % 12]}6`,
        ];
        const voiced = chords.map((symbol) => voicingsOf('block', symbol));
        const second = voiced[1];
        const chosen = bestPath(voiced.map(({ list }) => list)).voicings[1];
        if (second === undefined || chosen === undefined) return [`${chords}: nothing`];
        const lead = above(chosen.upper.at(-1) ?? 0, second.harmony);
        return lead === 4 ? [`${chords}: ${chosen.notes}`] : [];
      }),
    );
    expect(faults).toEqual([]);
  });
});

describe('polychords', () => {
  test.each([
    // What the second triad has to bring: the seventh, the sixth.
    ['m7(b5)', 10],
    ['m(maj7)', 11],
    ['m6', 9],
    ['6', 9],
    ['7sus4', 10],
    ['dim7', 9],
    ['m7', 10],
  ] as const)('%s has its %i, of two triads, on every root', (family, tone) => {
    for (const root of roots) {
      const { harmony, list, best } = voicingsOf('polychord', `${root}${family}`);
      expect(list.fallback, root).toEqual([]);
      expect(
        best?.voicing.upper.map((note) => above(note, harmony)),
        root,
      ).toContain(tone);
    }
  });
});
