/** What is known of the music before it is played: of a file, never on stage. */
import type { Chord } from '../harmony/chord/chord.ts';
import type { Foresight } from '../voicing/foresight.ts';

export type LeadSheet = {
  /** The chord that stands written here, when these notes agree with it; else the ear decides. */
  readonly chordOf: (notes: readonly number[]) => Chord | undefined;
  /** A bass behind a slash is to be played; else it only tells how a hand lay. */
  readonly areBassesMeant: boolean;
};

export type FileKnowledge = {
  /** Another way to choose voicings than the one for the stage. */
  readonly foresight?: Foresight;
  readonly leadSheet?: LeadSheet | undefined;
  /**
   * What comes at one time is all that is struck together: who looks ahead has put it there, and
   * nothing struck before or after belongs to it.
   */
  readonly areMomentsWhole?: boolean;
};
