/**
 * A chord chart as a value: chords in bars and beats. Bars and beats count from 1; a repeated bar
 * counts again each time it is played.
 */
import type { ChordSymbol } from '../harmony/chord-symbol.ts';
import type { Key } from '../harmony/key.ts';
import type { Metre } from '../midi/metre.ts';

export type ChartChord = {
  /** As written. */
  readonly text: string;
  /** Undefined: no chord here (N.C.). */
  readonly symbol: ChordSymbol | undefined;
  readonly bar: number;
  readonly beat: number;
  /** Beats until the next chord, over the bar line where it is held on. */
  readonly beats: number;
};

export type Chart = {
  /** '' when the chart has none. */
  readonly title: string;
  readonly key: Key | undefined;
  readonly metre: Metre;
  /** Beats a minute. */
  readonly tempo: number;
  readonly bars: number;
  readonly chords: readonly ChartChord[];
};

export const plainTempo = 120;
