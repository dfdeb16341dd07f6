/**
 * A preset: everything that decides how a chord is voiced, as one value.
 * The JSON form is described by shared/preset.schema.json; parse.ts turns text into this.
 * Registers are MIDI note numbers, both ends included (60 = C4).
 */
import { type FamilyOfTriads, type Growth, growths } from '../harmony/palette.ts';
import {
  type BassPolicy,
  bassPolicies,
  type Register,
  type StrategyId,
  strategyIds,
} from '../voicing/voicing.ts';

export type { BassPolicy, Growth, Register, StrategyId };
export { bassPolicies, growths, strategyIds };

export const families = ['major-seventh', 'dominant', 'minor-seventh', 'sixth'] as const;
/** The family a bare triad is taken for, whatever its function. */
export type Family = (typeof families)[number];

export const gatherings = ['at-once', 'fixed'] as const;
export type Gathering = (typeof gatherings)[number];

export type Preset = {
  /** File name without `.json`; how the command line names it: 'fourths-over-root'. */
  readonly id: string;
  /** Shown to the player: 'Fourths over the root'. */
  readonly name: string;
  /** One line: what it sounds like, when to use it. */
  readonly about: string;
  readonly strategy: StrategyId;
  /** Number of voices above the bass. */
  readonly voices: number;
  readonly upper: Register;
  readonly bass: { readonly policy: BassPolicy } & Register;
  readonly growth: Growth;
  /** Families for bare triads; absent: only what is right in every function, or what the key says. */
  readonly family?: FamilyOfTriads;
  readonly gathering: {
    readonly mode: Gathering /** Longest wait after the first note. */;
    readonly ceilingMilliseconds: number;
  };
};
