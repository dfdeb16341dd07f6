/** What the chords of a passage have in common, as figures: summary.ts counts them. */
import type { BassPolicy } from '../voicing/voicing.ts';
import type { Counts } from './counts.ts';

export type RegisterFound = {
  readonly lowest: number;
  readonly median: number;
  readonly highest: number;
};

export type SummarySection = {
  readonly fromBar: number;
  readonly toBar: number;
  readonly technique: string;
  /** So many chords of it, of how many. */
  readonly chords: number;
  readonly of: number;
};

export type Summary = {
  readonly chords: number;
  readonly bars: number;
  /** Chords by technique. */
  readonly techniques: Counts;
  /** So many of the chords in fourths have a third among them. */
  readonly fourthsWithThird: number;
  readonly sections: readonly SummarySection[];
  /** MIDI note numbers; bass: null where there is none. */
  readonly registers: {
    readonly bass: RegisterFound | null;
    readonly upper: RegisterFound;
  };
  /** Chords by their number of voices above the bass. */
  readonly voices: Counts;
  /** Intervals between neighbours above the bass. */
  readonly intervals: Counts;
  readonly bass: {
    readonly policy: BassPolicy;
    /** So many of all chords. */
    readonly chords: number;
    /** Of these, so many have the bass behind a written slash in place of their root. */
    readonly asWritten: number;
    /** It stands in octaves. */
    readonly isDoubled: boolean;
    readonly kinds: Counts;
  };
  /** By what kind of chord it is ('dominant'): which tensions its chords have, and how often. */
  readonly tensions: { readonly [type: string]: Counts };
  readonly lead: {
    readonly lowest: number;
    readonly highest: number;
    /** Moves of the top voice: none, by step, by leap. */
    readonly held: number;
    readonly steps: number;
    readonly leaps: number;
  };
  readonly leading: {
    readonly moves: number;
    /** Of all upper voices together, at each change. */
    readonly meanSemitones: number;
    readonly kinds: Counts;
  };
  readonly rhythm: {
    /** Beats from a chord to the next that most of them last. */
    readonly beats: number;
    /** So many of all changes. */
    readonly changes: number;
    readonly struckAgain: number;
  };
  readonly sentences: readonly string[];
};
