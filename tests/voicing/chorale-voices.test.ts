/**
 * Handspan in the place of four-part chorales, and what differs: chords read from their four notes, over
 * their bass, under their soprano, the key theirs. A check of leading and doubling, not a style to
 * copy. Weights were set with all 150 in sight; a part of them is scored here, for the time it takes.
 *
 * All 150 chorales, percent but for the motion (semitones an inner voice moves at a change):
 *
 *                         theirs   close live, best   open live, best   either live, best
 *   inner motion           2.01      2.07   1.96        1.85   1.64       1.87   1.64
 *   parallels              3.0       4.6    1.9         2.5    0.6        2.4    0.9
 *   overlaps               7.2       7.1    6.0         2.2    1.7        4.2    2.9
 *   leading tone twice     2.5       0      0           0      0          0      0
 *   leading tone up       44.1      40.4   42.1        36.8   35.2       46.5   51.3
 *   seventh down          91.2      91.7   90.8        95.7   94.2       91.3   93.7
 *   root, third, fifth    72 16 12  71 18 11  75 16 9   72 11 17  74 11 15  70 20 11  75 16 10
 *
 * Open position serves half of the changes only; theirs are there 1.98, 2.5, 3.0, 1.5, 37.6, 94.9.
 * Close position under a given soprano leaves at most four voicings of a triad, and the live choice
 * does not see the bass that comes: that is where parallels remain, and what avoiding them costs. With
 * parallels at a hundred times their price it still has 4.2 % of them (1.5 over the whole).
 */
import { describe, expect } from 'vitest';
import { bestPath } from '../../src/voicing/path.ts';
import type { Voicing } from '../../src/voicing/voicing.ts';
import { testWithReference } from '../harmony/reference.ts';
import {
  chorales,
  choralesRead,
  type Figures,
  figuresOf,
  type Part,
  type Parts,
  type Passage,
  type Position,
  passagesOf,
} from './chorale-voices.ts';
import { livePath } from './live-path.ts';

function partsOf({ upper, bass }: Voicing): Parts {
  const [tenor = 0, alto = 0, soprano = 0] = upper;
  return [soprano, alto, tenor, bass ?? 0];
}

function voiced(passages: readonly Passage[], lead: typeof bestPath): Figures {
  return figuresOf(
    passages.map(({ tonic, places }) => {
      const { voicings } = lead(places.map(({ list }) => list));
      const parts = places.flatMap(({ harmony }, index): Part[] => {
        const voicing = voicings[index];
        return voicing === undefined ? [] : [{ parts: partsOf(voicing), harmony }];
      });
      return { tonic, parts };
    }),
  );
}

function asWritten(passages: readonly Passage[]): Figures {
  return figuresOf(
    passages.map(({ tonic, places }) => ({
      tonic,
      parts: places.map(({ theirs: parts, harmony }) => ({ parts, harmony })),
    })),
  );
}

/** One chorale of so many. */
function passagesIn(position: Position, every: number): Passage[] {
  return choralesRead()
    .filter((_, index) => index % every === 1)
    .flatMap((quarters) => passagesOf(quarters, position));
}

/** Holds for every position, live and over the whole. `more`: percent of overlaps that may be more, and half of that the semitones. */
function expectNearTheirs(ours: Figures, theirs: Figures, more = 0): void {
  expect(theirs.changes).toBeGreaterThan(300);
  expect(ours.innerMotion).toBeLessThanOrEqual(theirs.innerMotion + more / 2);
  expect(ours.overlaps).toBeLessThanOrEqual(theirs.overlaps + more);
  expect(ours.wideGaps).toBe(0);
  expect(ours.leadingToneTwice).toBeLessThanOrEqual(2);
  expect(ours.doubled.root).toBeGreaterThan(ours.doubled.third + ours.doubled.fifth);
  for (const tone of ['root', 'third', 'fifth'] as const) {
    expect(Math.abs(ours.doubled[tone] - theirs.doubled[tone]), tone).toBeLessThan(10);
  }
}

describe('beside the voices of chorales', () => {
  testWithReference('in close or open position, led over the whole', chorales, () => {
    const passages = passagesIn('either', 3);
    const theirs = asWritten(passages);
    const ours = voiced(passages, bestPath);
    expectNearTheirs(ours, theirs);
    expect(ours.parallels).toBeLessThanOrEqual(theirs.parallels);
    expect(ours.leadingToneTwice).toBe(0);
    expect(ours.leadingToneUp).toBeGreaterThanOrEqual(theirs.leadingToneUp);
    expect(ours.seventhDown).toBeGreaterThanOrEqual(theirs.seventhDown);
    const live = voiced(passages, livePath);
    expectNearTheirs(live, theirs);
    // Of this part theirs have 2.1, of all 3.0.
    expect(live.parallels).toBeLessThanOrEqual(3);
    expect(live.seventhDown).toBeGreaterThanOrEqual(theirs.seventhDown);
  });

  testWithReference('in open position alone', chorales, () => {
    const passages = passagesIn('open', 6);
    const theirs = asWritten(passages);
    const ours = voiced(passages, bestPath);
    expectNearTheirs(ours, theirs);
    expect(ours.parallels).toBeLessThanOrEqual(theirs.parallels);
    const live = voiced(passages, livePath);
    expectNearTheirs(live, theirs);
    expect(live.parallels).toBeLessThanOrEqual(3);
  });

  testWithReference('in close position alone', chorales, () => {
    const passages = passagesIn('close', 6);
    const theirs = asWritten(passages);
    const ours = voiced(passages, bestPath);
    expectNearTheirs(ours, theirs);
    expect(ours.parallels).toBeLessThanOrEqual(theirs.parallels);
    const live = voiced(passages, livePath);
    expectNearTheirs(live, theirs, 0.2);
    expect(live.parallels).toBeLessThanOrEqual(5);
  });
});
