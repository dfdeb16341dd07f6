import type { Chord } from '../harmony/chord/chord.ts';

/** A chord as it was played or stands written. */
export type BuiltChord = {
  readonly chord: Chord;
  /** The bass alone, a MIDI note number; undefined where there is none. */
  readonly bass: number | undefined;
  /** The notes above the bass, lowest → highest. */
  readonly upper: readonly number[];
};
