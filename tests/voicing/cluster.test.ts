/**
 * Clusters over the chord's scale. That they are voicings in seconds: T. Pease and K. Pullig, Modern
 * Jazz Voicings (2001), ch. 6 (title read); the scales: R. Hutchinson, Music Theory for the
 * 21st-Century Classroom, section 31.10; the rest: common practice, no source.
 */
import { describe, expect, test } from 'vitest';
import { candidates } from '../../src/voicing/choose.ts';
import { strategyById } from '../../src/voicing/strategies.ts';
import { frame, harmonyOf } from './harmonies.ts';

const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const families = [
  ...['6', 'm6', '6/9', 'm6/9', 'maj7', 'maj9', 'maj13', 'maj7(#11)', 'maj7(#5)', 'm7', 'm9'],
  ...['m11', 'm7(b5)', 'dim7', 'm(maj7)', '7', '9', '13', '7(#11)', '7(b5)', '7(#5)', '7(b9)'],
  ...['7(#9)', '13(b9)', '7(#9,b13)', '7(b9,b13)', '7(b9,#11)', '7alt', '7sus4', '9sus4'],
  ...['13sus4', '7sus4(b9)'],
];

const clustersOf = (symbol: string, voices: number, key?: string) => {
  const harmony = harmonyOf(symbol, 'thirteenths', key);
  return { harmony, list: candidates('cluster', harmony, frame(52, 79, voices, 'root')) };
};

test('every chord on every root has one, which holds all that the symbol names', () => {
  const faults = roots.flatMap((root) =>
    families.flatMap((family) => {
      const { harmony, list } = clustersOf(`${root}${family}`, 4);
      if (list.fallback.length > 0) return [`${root}${family}: ${list.fallback}`];
      const { guides, type } = harmony.palette;
      const named = guides | (type.required & ~1);
      return list.voicings.flatMap(({ notes }) => {
        const heard = notes.reduce(
          (mask, note) => mask | (1 << ((note - harmony.chord.root + 120) % 12)),
          0,
        );
        return (named & ~heard) === 0 ? [] : [`${root}${family}: ${notes}`];
      });
    }),
  );
  expect(faults).toEqual([]);
});

test.each(['7(b9)', '7(#9)', 'dim7', 'maj7(#5)', 'm7(b5)'])(
  'three voices asked for are four where three cannot show %s',
  (family) => {
    for (const root of roots) {
      const { list } = clustersOf(`${root}${family}`, 3);
      expect(list.fallback, root).toEqual([]);
      expect(new Set(list.voicings.map(({ upper }) => upper.length)), root).toEqual(new Set([4]));
    }
  },
);

describe('members', () => {
  test.each([
    ['C7(b9)', '58 60 61 64'],
    ['C7(#9)', '63 64 66 70'],
    ['C7(#11)', '58 62 64 66'],
    ['Cdim7', '63 65 66 69'],
    ['Cm7(b5)', '63 65 66 70'],
    ['C7', '58 60 62 64'],
    ['C13', '57 58 62 64'],
  ])('%s: %s', (symbol, notes) => {
    const members = strategyById('cluster').members(
      harmonyOf(symbol, 'thirteenths'),
      frame(55, 72, 4),
    );
    expect(members.map((each) => each.notes.join(' '))).toContain(notes);
  });

  test('no flat thirteenth beside the natural fifth', () => {
    // In a minor key the fifth degree has both in its scale.
    const { harmony, list } = clustersOf('G7', 4, 'Cm');
    const classes = list.voicings.map(({ upper }) =>
      upper.map((note) => (note - harmony.chord.root + 120) % 12),
    );
    expect(classes.some((tones) => tones.includes(8))).toBe(true);
    expect(classes.filter((tones) => tones.includes(7) && tones.includes(8))).toEqual([]);
  });

  test('no three neighbours in semitones', () => {
    // The dominant of the second degree has all three ninths.
    const { voicings } = clustersOf('A7', 5, 'C').list;
    expect(voicings.length).toBeGreaterThan(0);
    const faults = voicings.filter(({ upper }) =>
      upper.some((note) => upper.includes(note + 1) && upper.includes(note + 2)),
    );
    expect(faults).toEqual([]);
  });
});
