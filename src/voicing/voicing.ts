/**
 * A voicing as a value, and what a strategy is. Voices run lowest → highest everywhere; notes are
 * MIDI note numbers (60 = C4), registers include both ends.
 */
import type { Harmony } from '../harmony/palette.ts';

export type Register = { readonly lowest: number; readonly highest: number };

export const strategyIds = ['close', 'drop-2', 'fourths', 'hybrid', 'spread'] as const;
export type StrategyId = (typeof strategyIds)[number];

export const bassPolicies = ['root', 'third', 'none'] as const;
export type BassPolicy = (typeof bassPolicies)[number];

/** Where the voices may stand. */
export type Frame = {
  readonly upper: Register;
  readonly bass: Register & { readonly policy: BassPolicy };
  /** Voices above the bass. */
  readonly voices: number;
};

export type Voicing = {
  /** The note under the upper voices, or undefined where another player has the bass. */
  readonly bass: number | undefined;
  readonly upper: readonly number[];
  /** Bass and upper together, lowest → highest. */
  readonly notes: readonly number[];
  /** What an arranger would call it: 'three-part fourths over the 3rd'. */
  readonly label: string;
  /**
   * Price of this member before any motion, in semitones of motion: 0 for the best the strategy
   * has, more for a doubled bass or a poorer set of tones.
   */
  readonly price: number;
  /** True when stack and bass together miss a tone the chord cannot do without. */
  readonly isIncomplete?: boolean;
};

/** Lists a chord's members inside a frame; unfiltered by limits on intervals and spacing. */
export type Strategy = {
  readonly id: StrategyId;
  readonly members: (harmony: Harmony, frame: Frame) => readonly Voicing[];
};
