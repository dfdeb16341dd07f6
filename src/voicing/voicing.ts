/**
 * A voicing as a value, and what a strategy is. Voices run lowest → highest everywhere; notes are
 * MIDI note numbers (60 = C4), registers include both ends.
 */
import type { Harmony, Palette } from '../harmony/chord/palette.ts';
import type { TechniqueId as StrategyId } from '../harmony/naming/technique-id.ts';
import type { PitchClassSet } from '../harmony/pitch/pitch-class-set.ts';
import type { PlayerRange } from './players.ts';
import type { Register } from './register.ts';

/** One list for what is built and for what is told of given notes. */
export {
  type TechniqueId as StrategyId,
  techniqueIds as strategyIds,
} from '../harmony/naming/technique-id.ts';

export const bassPolicies = [
  'root',
  'third',
  'fifth',
  'seventh',
  'as-played',
  'pedal',
  'line',
  'none',
] as const;
export type BassPolicy = (typeof bassPolicies)[number];

export const blockForms = ['close', 'drop-2'] as const;
/** What stands between the lead and its double an octave below. */
export type BlockForm = (typeof blockForms)[number];

export const spreadForms = ['free', 'tenths'] as const;
/** Whether a spread voicing's third is a tenth above a root in the bass. */
export type SpreadForm = (typeof spreadForms)[number];

export type BassFrame = Register & {
  readonly policy: BassPolicy;
  /** The note held under every chord by the policy 'pedal'; absent: the root takes its place. */
  readonly pedal?: number;
  /** Pitch class of the bass that stands written, or that the player holds apart from the chord. */
  readonly written?: number;
};

/** Where the voices may stand, and what else a voicing has to respect. */
export type Frame = {
  readonly upper: Register;
  readonly bass: BassFrame;
  /** Voices above the bass. */
  readonly voices: number;
  /** The note the top voice must take: the player's own top note. Absent: any. */
  readonly lead?: number;
  /** No voice above this note, however far the register is widened; absent: as the register says. */
  readonly ceiling?: number;
  /** Semitones one hand spans, for those who will play it themselves; absent: not for hands. */
  readonly reach?: number;
  /** Who plays the voices, lowest first; absent: nobody in particular. */
  readonly players?: readonly PlayerRange[];
  /** Absent: 'close'. */
  readonly block?: BlockForm;
  /** The last chord of a piece: a major seventh may close it as a sixth. */
  readonly isLast?: boolean;
  /** Absent: 'free'. */
  readonly spread?: SpreadForm;
};

/** Tones of the harmony that want to move, as seen from the notes that have them. */
export type Tendencies = {
  /** Pitch class of the harmony's root: whether a tone resolves depends on where the root goes. */
  readonly root: number;
  /** Sevenths among the upper voices: held, or down a step. */
  readonly sevenths: readonly number[];
  /** Leading tones among the upper voices, as the palette has them: held, or by a semitone. */
  readonly leadingTones: readonly number[];
};

export type Voicing = {
  /** The note under the upper voices, or undefined where another player has the bass. */
  readonly bass: number | undefined;
  readonly upper: readonly number[];
  /** Bass and upper together, lowest → highest. */
  readonly notes: readonly number[];
  /** What an arranger would call it: 'three-part fourths over the 3rd'. */
  readonly label: string;
  /** The strategy that made it, which may be one that stands in; absent until it is a candidate. */
  readonly technique?: StrategyId;
  /**
   * Price of this member before any motion, in semitones of motion: 0 for the best the strategy
   * has, more for a doubled bass or a poorer set of tones.
   */
  readonly price: number;
  /** True when stack and bass together miss a tone the chord cannot do without. */
  readonly isIncomplete?: boolean;
  /** Its voices are four parts, each a line of its own: see part-writing.ts. */
  readonly isInParts?: boolean;
  readonly tendencies: Tendencies;
};

/** What a strategy has twice by its own definition, whatever the rules say of others. */
export type Doubling = {
  /** Any tone but a leading tone. */
  readonly tones: boolean;
  /** A leading tone, which has one way to go. */
  readonly leadingTone: 'never' | 'outside dominants' | 'always';
};
export const noDoubling: Doubling = { tones: false, leadingTone: 'never' };

/**
 * All there is to say of a strategy: what it builds, and what presets, charts and screens have to
 * know of it. Every fact is required, so that a new one cannot be half there.
 */
export type Strategy = {
  readonly id: StrategyId;
  /** What an arranger calls its voicings: 'drop 2', 'hybrids without the third'. */
  readonly name: string;
  /**
   * Narrowest register of the upper voices in semitones: in it, the strategy with its fewest voices
   * places every triad, sixth and seventh chord on every root that it places anywhere. Computed from
   * the definitions (tests count again).
   */
  readonly narrowestUpper: number;
  /** Chord tones alone cannot fill it. */
  readonly needsTensions: boolean;
  /** Its bass is the root, or nobody's. */
  readonly isOnRoot: boolean;
  readonly doubling: Doubling;
  /** Voices above the bass it can place: fewest, most. */
  readonly voices: readonly [number, number];
  /** What serves in its place, in this order, a chord it has no member for. */
  readonly fallbacks: readonly StrategyId[];
  /** Tones of the chord it leaves out by its definition, as a mask from the root; absent: none. */
  readonly leavesOut?: (palette: Palette) => PitchClassSet;
  /**
   * What it cannot show of a chord is told, and no reason for another technique: its shape is the
   * point. Absent: there what is written comes first (loss.ts).
   */
  readonly keepsShape?: boolean;
  /** A chord's members inside a frame; unfiltered by limits on intervals and spacing. */
  readonly members: (harmony: Harmony, frame: Frame) => readonly Voicing[];
  /** What may join them by a licence of its book; absent: nothing. */
  readonly licensed?: (harmony: Harmony, frame: Frame) => readonly Voicing[];
  /** What takes their place where they lose what is written, and it does not; absent: nothing. */
  readonly atNeed?: (harmony: Harmony, frame: Frame) => readonly Voicing[];
};
