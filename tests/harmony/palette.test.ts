/** What triads grow into: over one of their sevenths, and where a preset asks for sixths. */
import { describe, expect, test } from 'vitest';
import { createGrower } from '../../src/harmony/chord/palette.ts';
import { spelledChordOf } from '../../src/harmony/chord/spelled-chord.ts';
import { parseKey } from '../../src/harmony/key/key.ts';
import { membersOf } from '../../src/harmony/pitch/pitch-class-set.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { harmonyOf } from '../voicing/harmonies.ts';

describe('a preset that asks for sixths', () => {
  // 6 stands for the major seventh of I and IV: G. Lindsay, Jazz Arranging Techniques, ch. 10. That a
  // minor sixth is added where the key has it (melodic minor on i), and that V keeps its seventh:
  // common practice, no source.
  const grown = (symbol: string, keyName: string | undefined): string => {
    const parsed = parseSymbol(symbol);
    const key = keyName === undefined ? undefined : parseKey(keyName);
    if (!parsed.ok || key?.ok === false) throw new Error(`${symbol} or ${keyName}`);
    const grow = createGrower(key?.value, 'sevenths', { major: 'sixth', minor: 'sixth' });
    return grow(spelledChordOf(parsed.value).chord).palette.type.id;
  };
  test.each([
    ['C', 'C major', 'major-sixth'],
    ['F', 'C major', 'major-sixth'],
    ['Ab', 'C major', 'major-sixth'],
    ['G', 'C major', 'dominant-seventh'],
    ['E', 'C major', 'dominant-seventh'],
    ['Dm', 'C major', 'minor-sixth'],
    ['Fm', 'C major', 'minor-sixth'],
    ['Am', 'C major', 'minor-seventh'],
    ['Em', 'C major', 'minor-seventh'],
    ['Am', 'A minor', 'minor-sixth'],
    ['Dm', 'A minor', 'minor-sixth'],
    ['Em', 'A minor', 'minor-seventh'],
    ['F', 'A minor', 'major-sixth'],
    ['Bdim', 'C major', 'half-diminished'],
    ['Fmaj7', 'C major', 'major-seventh'],
    ['F/E', 'C major', 'major-seventh'],
    ['Am', undefined, 'minor-sixth'],
    ['F', undefined, 'major-sixth'],
  ])('%s in %s grows into a %s', (symbol, key, type) => {
    expect(grown(symbol, key)).toBe(type);
  });
});

describe('a seventh in the bass', () => {
  // Third inversions (figured bass 4/2): any harmony text, such as Kostka and Payne, Tonal Harmony;
  // from memory. The symbols are common practice.
  test.each([
    ['C/Bb', 'C major', 'dominant-seventh', 11],
    ['C/Bb', undefined, 'dominant-seventh', 11],
    ['C/B', 'F major', 'major-seventh', 10],
    ['Fm/Eb', 'C major', 'minor-seventh', 11],
    ['Fm/E', undefined, 'minor-major-seventh', 10],
  ] as const)('%s in %s grows into a %s', (symbol, key, type, never) => {
    const { palette } = harmonyOf(symbol, 'thirteenths', key);
    expect(palette.type.id).toBe(type);
    expect(membersOf(palette.universe)).not.toContain(never);
  });

  test('nothing grows where nothing shall, and the same triad over its root is as before', () => {
    expect(membersOf(harmonyOf('C/Bb', 'as-played', 'C major').palette.universe)).toEqual([
      0, 4, 7,
    ]);
    expect(harmonyOf('C', 'sevenths', 'C major').palette.type.id).toBe('major-seventh');
  });
});

describe('a diminished seventh in a key', () => {
  // B. Nettles, Harmony 3, p. 17 (read second-hand): in diatonic passages tensions are diatonic. Each
  // lies a whole step above a tone of the chord: R. Hutchinson, section 31.10.
  const scales = { major: [0, 2, 4, 5, 7, 9, 11], minor: [0, 2, 3, 5, 7, 8, 9, 10, 11] } as const;
  const tonics = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'G#', 'A', 'Bb', 'B'];
  const names = { 'C# major': 'Db major', 'G# major': 'Ab major' } as Record<string, string>;

  test.each(['major', 'minor'] as const)('takes its tensions from the key, %s', (mode) => {
    const faults = tonics.flatMap((tonic, at) =>
      tonics.flatMap((root) => {
        const key = `${tonic} ${mode}`;
        const harmony = harmonyOf(`${root}dim7`, 'thirteenths', names[key] ?? key);
        const found = membersOf(harmony.palette.tensions);
        const foreign = found.filter((tone) => {
          const inKey = (tone + harmony.chord.root - at + 12) % 12;
          return !scales[mode].some((each) => each === inKey) || ![2, 5, 8].includes(tone);
        });
        return found.length > 0 && foreign.length === 0 ? [] : [`${root}dim7 in ${tonic}`];
      }),
    );
    expect(faults).toEqual([]);
  });
});
