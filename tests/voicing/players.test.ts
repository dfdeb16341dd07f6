/** Which notes players of parts can play, and with how much effort. */
import { describe, expect, test } from 'vitest';
import { effortFor, type PlayerRange } from '../../src/voicing/players.ts';

const range = (lowest: number, highest: number, ease = 5): PlayerRange => ({
  lowest,
  highest,
  comfortable: { lowest: lowest + ease, highest: highest - ease },
});
const impossible = Number.POSITIVE_INFINITY;

describe('players and notes in order', () => {
  const duo = [range(40, 60), range(50, 70)];

  test('as many as players: what lies beyond the comfortable is counted', () => {
    expect(effortFor([45, 65], duo)).toBe(0);
    expect(effortFor([42, 68], duo)).toBe(6);
    expect(effortFor([39, 60], duo)).toBe(impossible);
    expect(effortFor([60, 71], duo)).toBe(impossible);
  });

  test('fewer notes than players: each has a player, somebody rests', () => {
    expect(effortFor([45], duo)).toBe(0);
    expect(effortFor([66], duo)).toBe(1);
    expect(effortFor([75], duo)).toBe(impossible);
  });

  test('more notes than players: each player has one, in order', () => {
    expect(effortFor([30, 45, 60], duo)).toBe(0);
    expect(effortFor([30, 35, 60], duo)).toBe(impossible);
    // The lower player cannot have the higher note.
    expect(effortFor([56, 62, 75], duo)).toBe(1);
  });

  test('a hand on strings reaches so many frets; open strings are free', () => {
    const string = (open: number): PlayerRange => ({
      ...range(open, open + 14, 0),
      string: { open, hand: 0, reach: 4 },
    });
    const strings = [string(50), string(55), string(59), string(64)];
    // Frets 3, 5, 5, 7.
    expect(effortFor([53, 60, 64, 71], strings)).toBe(0);
    // Frets 3, 5, 5, 8.
    expect(effortFor([53, 60, 64, 72], strings)).toBe(impossible);
    // Open, 5, 5, 9.
    expect(effortFor([50, 60, 64, 73], strings)).toBe(0);
  });
});
