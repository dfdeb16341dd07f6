/**
 * Broken chords: arpeggios and the like, whose notes follow each other through a bar, half of one or
 * a beat. The largest of these spans whose notes are one triad or seventh chord is one gesture; in
 * what is no such chord a hand's gestures are looked for. Common practice, no source.
 */
import { chordTypes } from '../harmony/chord/chord-type.ts';
import {
  type PitchClassSet,
  setOfNotes,
  sizeOf,
  transpose,
} from '../harmony/pitch/pitch-class-set.ts';
import type { BeatGrid } from './beat-grid.ts';
import { createOpenNotes, type Gestures, gestureLength, type Onset } from './gestures.ts';

/** A chord is broken when its notes begin at so many times at the least. */
const fewestTimes = 3;
/** A note so little before a bar line belongs behind it. Microseconds. */
const early = 35_000;

/** Triads and seventh chords with a third, over every root. */
const chords: ReadonlySet<PitchClassSet> = new Set(
  chordTypes
    .filter(
      ({ degrees, hasThird }) =>
        hasThird && degrees.every((degree) => /^[b#]*[1357]$/.test(degree)),
    )
    .flatMap(({ tones }) => Array.from({ length: 12 }, (_, root) => transpose(tones, root))),
);

function isBroken(onsets: readonly Onset[]): boolean {
  let times = 0;
  let last = Number.NEGATIVE_INFINITY;
  for (const { at } of onsets) {
    if (at - last > early) times += 1;
    last = at;
  }
  const set = setOfNotes(onsets.map(({ note }) => note));
  return times >= fewestTimes && sizeOf(set) >= fewestTimes && chords.has(set);
}

/** The place of the first onset at `at` or later, from `place` on. */
function firstFrom(onsets: readonly Onset[], place: number, at: number): number {
  let first = place;
  while ((onsets[first]?.at ?? Number.POSITIVE_INFINITY) < at) first += 1;
  return first;
}

/** As `createGestures`, with the bars of the file to look at. */
export function createBrokenGestures(grid: BeatGrid) {
  return <T extends Onset>(
    onGesture: (gesture: readonly T[], isBroken: boolean) => void,
  ): Gestures<T> => {
    let pending: T[] = [];
    /** Which of them are done with. */
    let from = 0;
    let bar = { start: 0, end: Number.NEGATIVE_INFINITY, beats: 1 };
    const open = createOpenNotes<T>();

    const tell = (count: number, isOne: boolean): void => {
      const gesture = pending.slice(from, from + count);
      from += count;
      onGesture(gesture, isOne);
    };

    /** A hand's gestures up to this place. */
    const tellHands = (to: number): void => {
      while (from < to) tell(Math.min(to - from, gestureLength(pending, from)), false);
    };

    /** Of the pending onsets those before `end`, in spans of `parts` to a bar, then shorter ones. */
    const divide = (start: number, end: number, levels: readonly number[]): void => {
      const to = firstFrom(pending, from, end - early);
      if (to === from) return;
      const own = pending.slice(from, to);
      const [parts, ...rest] = levels;
      if (isBroken(own)) tell(own.length, true);
      else if (parts === undefined) tellHands(to);
      else {
        const length = (end - start) / parts;
        for (let part = 1; part <= parts; part += 1) {
          divide(start + (part - 1) * length, start + part * length, rest);
        }
      }
    };

    const flush = (): void => {
      const { start, end, beats } = bar;
      const levels = beats % 2 === 0 && beats > 2 ? [2, beats / 2] : [beats];
      divide(start, end, levels);
      // Behind an irregular bar line.
      tellHands(pending.length);
      pending = [];
      from = 0;
    };

    const reach = (at: number): void => {
      if (pending.length > 0 && at >= bar.end - early) flush();
    };

    return {
      strike(onset) {
        reach(onset.at);
        if (pending.length === 0) bar = grid(onset.at + early);
        pending.push(onset);
        open.add(onset);
      },
      release(key, at) {
        reach(at);
        open.end(key, at);
      },
      reach,
      finish: flush,
      first: () => pending[from],
    };
  };
}
