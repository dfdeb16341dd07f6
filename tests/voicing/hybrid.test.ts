/**
 * Which upper chord stands over which bass, on every root. Definition of a hybrid: A. Ulanowsky,
 * Harmony 4 (1988), ch. 7 (read second-hand): upper chord tones and tensions, except the third,
 * above the root. What the upper chords stand for is computed from it; the choice among them: common
 * practice, no source.
 */
import { describe, expect, test } from 'vitest';
import { parsePitchClass } from '../../src/harmony/pitch/pitch-name.ts';
import { candidates, cheapest } from '../../src/voicing/choose.ts';
import { soundingSymbol } from '../../src/voicing/sounding.ts';
import { frame, harmonyOf, numbers } from './harmonies.ts';

const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];

/** The upper chords of all members, as degrees in semitones above the bass. */
function uppersOf(symbol: string, voices = 3, policy: 'root' | 'as-played' = 'root'): string[] {
  const harmony = harmonyOf(symbol, 'thirteenths');
  const list = candidates('hybrid', harmony, frame(48, 79, voices, policy));
  if (list.fallback.some((each) => each.startsWith('hybrid'))) return [list.strategy];
  const shapes = list.voicings.map(({ bass = 0, upper }) =>
    [...new Set(upper.map((note) => (note - bass) % 12))].sort((a, b) => a - b).join(' '),
  );
  return [...new Set(shapes)].sort();
}

describe('on every root', () => {
  test.each([
    // Its own diminished fifth and seventh, and nothing that is a dominant seventh turned round.
    ['dim7', 3, '0 6 9'],
    // The suspended triad on the ninth has the sixth.
    ['6', 3, '2 7 9'],
    ['m6', 3, '2 7 9'],
    ['6/9', 3, '2 7 9'],
    ['maj7(#5)', 3, '2 8 11'],
    // A thirteenth has its seventh and its 13, which takes a fourth voice.
    ['13', 3, '2 5 9 10'],
    ['7sus4', 4, '2 5 7 10'],
    // No hybrid: its own triad over the root.
    ['m7(b5)', 3, '3 6 10'],
    ['7(#9)', 3, 'spread'],
  ])('%s in %i voices', (family, voices, wanted) => {
    const faults = roots.filter((root) => !uppersOf(`${root}${family}`, voices).includes(wanted));
    expect(faults).toEqual([]);
  });

  test('the III of a key has no ninth to make one with: its own triad over the root', () => {
    const harmony = harmonyOf('Em7', 'thirteenths', 'C');
    const { voicings } = candidates('hybrid', harmony, frame(48, 79, 3, 'root'));
    expect(voicings.length).toBeGreaterThan(0);
    for (const { upper, label } of voicings) {
      expect(label).toBe('slash chord: major triad on the 3rd over the root');
      expect(upper.map((note) => note % 12).sort((a, b) => a - b)).toEqual([2, 7, 11]);
    }
  });

  test('a suspended dominant has the ninth of its key: Am/B in E minor, A/B in E', () => {
    const symbolsIn = (key: string): string[] => {
      const harmony = harmonyOf('B7sus4', 'thirteenths', key);
      const { voicings } = candidates('hybrid', harmony, frame(48, 79, 3, 'root'));
      return [...new Set(voicings.map((each) => soundingSymbol(each, harmony, undefined)))];
    };
    expect(symbolsIn('Em')).toEqual(['Am/B']);
    expect(symbolsIn('E')).toContain('A/B');
    expect(symbolsIn('E')).not.toContain('Am/B');
  });

  test('is spelled as most of its tones are in the whole', () => {
    const namesIn = (symbol: string): string[] => {
      const harmony = harmonyOf(symbol, 'as-played');
      const root = parsePitchClass(/^[A-G]b?/u.exec(symbol)?.[0] ?? '');
      const { voicings } = candidates('hybrid', harmony, frame(48, 79, 3, 'root'));
      return [...new Set(voicings.map((each) => soundingSymbol(each, harmony, undefined, root)))];
    };
    expect(namesIn('Ab7sus4(b9)')).toEqual(['Gbm/Ab']);
    expect(namesIn('G7(b9,#11)')).toEqual(['Db/G']);
    expect(namesIn('Eb9(#11)')).toEqual(['Dbaug/Eb']);
  });

  test('a diminished seventh has it in a key too, whatever it leads to', () => {
    const faults = roots.filter((root) => {
      const harmony = harmonyOf(`${root}dim7`, 'thirteenths', 'C');
      return candidates('hybrid', harmony, frame(48, 79, 3, 'root')).fallback.length > 0;
    });
    expect(faults).toEqual([]);
  });

  test('a sixth chord on the fourth degree may take the triad on its ninth', () => {
    const inC = candidates('hybrid', harmonyOf('F6', 'thirteenths', 'C'), frame(48, 79, 3, 'root'));
    const shapes = inC.voicings.map(({ upper }) =>
      upper.map((note) => (note - 5) % 12).sort((a, b) => a - b),
    );
    expect(shapes.map((shape) => shape.join(' '))).toContain('2 6 9');
  });

  test('a sixth chord has its sixth, and no seventh that nobody wrote', () => {
    const faults = roots.flatMap((root) =>
      ['6', 'm6', '6/9', 'm6/9'].filter((family) =>
        [3, 4].some((voices) =>
          uppersOf(`${root}${family}`, voices).some(
            (shape) => !numbers(shape).includes(9) || /\b1[01]\b/u.test(shape),
          ),
        ),
      ),
    );
    expect(faults).toEqual([]);
    const harmony = harmonyOf('Am6', 'thirteenths');
    const { voicings } = candidates('hybrid', harmony, frame(48, 79, 3, 'root'));
    expect(new Set(voicings.map((each) => soundingSymbol(each, harmony, undefined)))).toEqual(
      new Set(['Bsus4/A']),
    );
  });

  test('an upper structure of a minor sixth chord has no seventh that nobody wrote either', () => {
    const faults = roots.flatMap((root, pitch) =>
      ['m6', 'm6/9'].filter((family) => {
        const harmony = harmonyOf(`${root}${family}`, 'thirteenths');
        const own = frame(50, 79, 5, 'root');
        const list = candidates('upper-structure', harmony, own);
        const chosen = cheapest(list, undefined, harmony, own)?.voicing.notes ?? [];
        return chosen.length === 0 || chosen.some((note) => (note + 1 - pitch) % 12 === 0);
      }),
    );
    expect(faults).toEqual([]);
  });

  test('no chord but a dominant or a suspension is a seventh chord turned round', () => {
    // Its tones, bass included, as a dominant, minor or half-diminished seventh on another root.
    const sevenths = ['0 4 7 10', '0 3 7 10', '0 3 6 10'];
    const families = ['6', 'm6', '6/9', 'm6/9', 'maj7', 'm7', 'm9', 'm(maj7)', 'dim7'];
    const faults = roots.flatMap((root) =>
      families.flatMap((family) =>
        uppersOf(`${root}${family}`).filter((shape) => {
          const set = [...new Set([0, ...numbers(shape)])];
          return set.some(
            (tone) =>
              tone !== 0 &&
              sevenths.includes(
                set
                  .map((each) => (each - tone + 12) % 12)
                  .sort((a, b) => a - b)
                  .join(' '),
              ),
          );
        }),
      ),
    );
    expect(faults).toEqual([]);
  });
});

describe('a written bass', () => {
  test.each([
    ['Ab/Gb', '2 6 9'],
    ['F#m/E', '2 5 9'],
    ['E7/D', '2 6 9'],
    ['Cmaj7/B', '1 5 8'],
    // A third of its bass is no hybrid, and a slash chord all the same: the whole triad over it.
    ['Ab/C', '0 3 8'],
  ])('%s', (symbol, wanted) => {
    expect(uppersOf(symbol, 3, 'as-played')).toEqual([wanted]);
  });

  test('lies below the chord as it is written', () => {
    const harmony = harmonyOf('C/Bb', 'thirteenths');
    const { voicings } = candidates('hybrid', harmony, frame(48, 76, 3, 'as-played'));
    expect(voicings.length).toBeGreaterThan(0);
    for (const voicing of voicings) {
      expect((voicing.bass ?? 0) % 12).toBe(10);
      expect(voicing.upper.map((note) => note % 12).sort((a, b) => a - b)).toEqual([0, 4, 7]);
      expect(soundingSymbol(voicing, harmony, undefined)).toBe('C7/Bb');
    }
  });
});
