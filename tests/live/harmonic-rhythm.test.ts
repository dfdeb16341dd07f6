/** How long a player's chords last; the share that counts as within a chord is our own choice. */
import { expect, test } from 'vitest';
import { createHarmonicRhythm } from '../../src/live/hands/harmonic-rhythm.ts';

const second = 1_000_000;

function afterChordsAt(...times: readonly number[]) {
  const rhythm = createHarmonicRhythm();
  for (const time of times) rhythm.noteChord(time * second);
  return rhythm;
}

test('half of the usual length is within the chord, the whole of it is not', () => {
  const rhythm = afterChordsAt(1, 2, 3, 4, 5);
  expect(rhythm.isWithinChord(5.5 * second)).toBe(true);
  expect(rhythm.isWithinChord(6 * second)).toBe(false);
});

test('nothing is within a chord before a few have been heard, or of a player who was forgotten', () => {
  expect(afterChordsAt(1, 2).isWithinChord(2.1 * second)).toBe(false);
  const rhythm = afterChordsAt(1, 2, 3, 4, 5);
  rhythm.forget();
  expect(rhythm.isWithinChord(5.5 * second)).toBe(false);
});

test('a rest is no length, and a faster turn is followed', () => {
  expect(afterChordsAt(1, 2, 3, 4, 60).isWithinChord(60.9 * second)).toBe(false);
  const faster = afterChordsAt(
    1,
    2,
    3,
    4,
    ...Array.from({ length: 8 }, (_, place) => 5 + place / 4),
  );
  expect(faster.isWithinChord(6.75 * second + 0.24 * second)).toBe(false);
});
