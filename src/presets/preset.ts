/**
 * A preset: everything that decides how a chord is voiced, as one value.
 * The JSON form is described by shared/preset.schema.json; parse.ts turns text into this.
 * Registers are MIDI note numbers, both ends included (60 = C4).
 */
import { type FamilyOfTriads, type Growth, growths } from '../harmony/chord/palette.ts';
import { type Reach, reaches } from '../voicing/hands.ts';
import type { Kept } from '../voicing/kept.ts';
import type { Register } from '../voicing/register.ts';
import type { ShapeMovement } from '../voicing/shapes.ts';
import { type Parallel, parallels } from '../voicing/strategies/planing.ts';
import {
  type BassPolicy,
  type BlockForm,
  bassPolicies,
  blockForms,
  type SpreadForm,
  type StrategyId,
  spreadForms,
  strategyIds,
} from '../voicing/voicing.ts';
import type { Playing } from './playing.ts';

export type { BassPolicy, BlockForm, Growth, Parallel, Reach, Register, StrategyId };
export { bassPolicies, blockForms, growths, parallels, reaches, spreadForms, strategyIds };

export const families = ['major-seventh', 'dominant', 'minor-seventh', 'sixth'] as const;
/** The family a bare triad is taken for where no key says what it is. */
export type Family = (typeof families)[number];

export const gatherings = ['adaptive', 'fixed', 'at-once'] as const;
export type Gathering = (typeof gatherings)[number];

export const leads = ['smooth', 'contour', 'as-played'] as const;
/** The top voice: led smoothly, up and down as the hand's top goes, or the player's own top note. */
export type Lead = (typeof leads)[number];

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
  readonly bass: {
    readonly policy: BassPolicy;
    /** What the policy 'pedal' holds; absent: the tonic of the key, without a key the root. */
    readonly pedal?: number;
  } & Register;
  readonly growth: Growth;
  /** Absent: 'smooth'. */
  readonly lead?: Lead;
  /** The shape of the first chord moves along with the roots; absent: each chord is led anew. */
  readonly parallel?: Parallel;
  /** Only what two hands of this reach can play; absent: not for hands. */
  readonly reach?: Reach;
  /** For the strategy 'block'; absent: 'close'. */
  readonly block?: BlockForm;
  /** For the strategy 'spread'; absent: 'free'. */
  readonly spread?: SpreadForm;
  /** Families for bare triads; absent: only what is right in every function, or what the key says. */
  readonly family?: FamilyOfTriads;
  /** Shapes of the player's own, degrees from the lowest up: '1 5 9 b3 b7'; the strategy stands in. */
  readonly shape?: string;
  /** With `shape`; absent: 'led'. */
  readonly movement?: ShapeMovement;
  /** Voicings of the player's own for certain chords; absent: none. */
  readonly kept?: readonly Kept[];
  readonly gathering: {
    readonly mode: Gathering;
    /** Longest wait after the first note. */
    readonly ceilingMilliseconds: number;
  };
  /** Who plays the voices: 'saxes', 'trumpet, trombone'; absent: nobody in particular. */
  readonly players?: string;
  /** How it is played; absent fields are what a plain keyboard player expects. */
  readonly playing?: Partial<Playing>;
};
