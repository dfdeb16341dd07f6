/**
 * A tune as the engine is given it: the chords of a chart in the order they are played, repeats,
 * endings and jumps taken. Plain data, so that it passes between threads. A chart makes it:
 * chart/tune-of-chart.ts.
 */

import type { ChosenForChord } from '../presets/chosen.ts';
import type { Preset } from '../presets/preset.ts';

export type TuneChord = {
  /** As written: 'G13', a symbol that is known to parse; '' for silence. */
  readonly symbol: string;
  /** As they are played, from 1; 0 is a pick-up. A repeated bar counts again. */
  readonly bar: number;
  readonly beat: number;
  /** The bar as it is numbered on the page, where repeats are written once. */
  readonly writtenBar: number;
  /** Where it begins and how long it is, in quarter notes from the beginning of the tune. */
  readonly start: number;
  readonly length: number;
  /** The chord of the tune that this one is again: written once, played more often; absent: none. */
  readonly repeats?: number;
  /** The section it stands in; '' for none. */
  readonly section: string;
  /** It is the first chord of its section. */
  readonly opensSection: boolean;
  /** The key that holds there, by name, where the tune turns to others; '' for none. */
  readonly key?: string;
  /** The MIDI note that is to be its top voice; absent: none. */
  readonly lead?: number;
  /** What is chosen for this chord alone; absent: nothing. */
  readonly chosen?: ChosenForChord;
  /** The preset that the chart wants here: its name, or its id on the stage; absent: none. */
  readonly preset?: string;
  /** It is written at this chord. */
  readonly writesPreset?: boolean;
};

export type Tune = {
  /** '' when the chart has none. */
  readonly title: string;
  /** The key that it begins in, by name; absent: none. */
  readonly key?: string;
  /** Bars as they are played, without a pick-up. */
  readonly bars: number;
  /** Quarter notes from the beginning to the end. */
  readonly length: number;
  readonly chords: readonly TuneChord[];
};

/**
 * How far the chart may add to what is held where the two agree: nothing; what it writes; that, grown
 * as the preset grows what is played.
 */
export const tuneReadings = ['as-played', 'as-written', 'with-growth'] as const;
export type TuneReading = (typeof tuneReadings)[number];

export const tuneFollows = ['player', 'clock'] as const;
export type TuneFollow = (typeof tuneFollows)[number];

export type StageTune = {
  readonly tune: Tune;
  readonly reading: TuneReading;
  /** Who says where it is; absent: the player. A MIDI clock does only while it runs. */
  readonly follow?: TuneFollow;
  /** In place of a tune that is played: it goes on in the same bar and chorus. */
  readonly continues?: boolean;
  /** Those that the tune names; absent: none. */
  readonly presets?: readonly Preset[];
};
