/** What a triad over one of its sevenths grows into: the bass decides, whatever the key says. */
import { describe, expect, test } from 'vitest';
import { membersOf } from '../../src/harmony/pitch-class-set.ts';
import { harmonyOf } from '../voicing/harmonies.ts';

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
