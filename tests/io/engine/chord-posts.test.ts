import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { chordPosts, withPosts } from '../../../src/io/engine/chord-posts.ts';
import type { ChordReport } from '../../../src/live/snapshot.ts';

const chord = (atMicroseconds: number): ChordReport => ({
  atMicroseconds,
  heard: { symbol: 'C', runnerUp: '', notes: [] },
  sent: { voices: [], symbol: 'C', label: 'close', relaxed: [] },
  preset: 'close',
});
const chords = Array.from({ length: 60 }, (_, at) => chord(at));
const some = (from: number, to: number) => chords.slice(from, to);

describe('between two states only what is new crosses', () => {
  test.each<[string, readonly ChordReport[], readonly ChordReport[], number]>([
    ['one more', some(0, 5), some(0, 6), 1],
    ['one more, the oldest forgotten', some(0, 32), some(1, 33), 1],
    ['nothing', some(0, 32), some(0, 32), 0],
    ['the last corrected', some(0, 5), [...some(0, 4), chord(99)], 1],
    ['the last corrected, and one more', some(0, 5), [...some(0, 4), chord(98), chord(99)], 2],
    ['all of them', some(0, 32), some(40, 60), 20],
    ['the first of all', [], some(0, 1), 1],
    ['none left', some(0, 3), [], 0],
  ])('%s', (_what, before, now, added) => {
    const news = chordPosts(before, now);
    expect(news.added).toHaveLength(added);
    expect(withPosts(before, news)).toEqual(now);
  });
});

test('whatever happens to the list, the other side has the same', () => {
  const step = fc.oneof(
    fc.record({ add: fc.nat(3), remove: fc.nat(2) }),
    fc.record({ add: fc.nat(40), remove: fc.constant(0) }),
  );
  fc.assert(
    fc.property(fc.array(step), (steps) => {
      let [now, there]: (readonly ChordReport[])[] = [[], []];
      let at = 0;
      for (const { add, remove } of steps) {
        const next = [
          ...(now ?? []).slice(0, remove === 0 ? undefined : -remove),
          ...Array.from({ length: add }, () => chord(at++)),
        ].slice(-32);
        // What crosses is a copy.
        const news = structuredClone(chordPosts(now ?? [], next));
        there = withPosts(there ?? [], news);
        now = next;
        expect(there).toEqual(now);
      }
    }),
  );
});
