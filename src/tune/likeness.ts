/**
 * How likely a player who means a written chord holds these notes: all of it, a part of it (a shell,
 * without its root), more than it (tensions), or a substitute that shares its guide tones. As a
 * logarithm; 0 for the chord itself, and never below that of a wrong chord. The weights are
 * engineering values, tuned on simulated players; common practice, no source.
 */
import { isPlainSet } from '../harmony/chord/plain-chords.ts';
import { type PitchClassSet, relativeTo, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import { writtenChord } from '../harmony/recognition/fit.ts';
import type { Chord } from '../harmony/recognition/recognise.ts';
import { bassOf, type ChordSymbol, soundOf } from '../harmony/symbol/chord-symbol.ts';

/** What is held: pitch classes (bit 0 is C), and the lowest of them. */
export type Held = { readonly set: PitchClassSet; readonly lowest: number };

/** One of the chords that a tune writes. */
export type WrittenSymbol = {
  readonly text: string;
  readonly chord: Chord;
  /** Pitch classes that it names. */
  readonly sound: PitchClassSet;
  /**
   * The notes are a part of it that tells its kind, or all that tells it with tensions of it: third
   * and seventh, or what stands for them; in a triad root and third.
   */
  readonly agrees: (notes: PitchClassSet) => boolean;
  readonly likeness: (held: Held) => number;
};

/** Any other chord in place of the written one: about one in twenty, and there are many of them. */
export const wrongChord = -4.6;

const costs = {
  /** Of the chord's own tones that are not held. */
  root: 1.2,
  guide: 1.2,
  other: 0.15,
  /** Of notes it does not name: where they are tensions of it, and where they are not. */
  tension: 1.5,
  /** As much for each where the notes are a whole plain chord of another name. */
  otherChord: 2.4,
  foreign: 2.6,
  /** Another note lies lowest than the one written. */
  bass: 0.4,
} as const;

export function writtenSymbol(text: string, symbol: ChordSymbol): WrittenSymbol {
  const { chord, fits } = writtenChord(symbol);
  const sound = soundOf(symbol);
  const own = relativeTo(sound, chord.root);
  const bass = bassOf(symbol);
  const guides = chord.type.guides & ~1;
  return {
    text,
    chord,
    sound,
    agrees(set) {
      const held = relativeTo(set, chord.root);
      const told = guides | (sizeOf(guides) < 2 ? 1 : 0);
      if ((held & ~own) === 0) return sizeOf(held) > 1 && (held & guides) !== 0;
      return (told & ~held) === 0 && fits(set);
    },
    likeness({ set, lowest }) {
      const held = relativeTo(set, chord.root);
      const absent = own & ~held;
      const strange = sizeOf(held & ~own);
      const ofTension = isPlainSet(set) ? costs.otherChord : costs.tension;
      let cost = strange * (strange > 0 && fits(set) ? ofTension : costs.foreign);
      if ((absent & 1) !== 0) cost += isPlainSet(set) ? 2.4 : costs.root;
      cost += sizeOf(absent & guides) * costs.guide;
      cost += sizeOf(absent & ~guides & ~1) * costs.other;
      if (lowest !== bass) cost += costs.bass;
      return Math.max(wrongChord, -cost);
    },
  };
}
