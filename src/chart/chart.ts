/**
 * A chord chart as a value: chords in bars and beats. Bars and beats count from 1; a repeated bar
 * counts again each time it is played.
 */
import type { ChordSymbol } from '../harmony/chord-symbol.ts';
import type { Key } from '../harmony/key.ts';
import type { BeatNote } from '../midi/beat-note.ts';
import type { Metre } from '../midi/metre.ts';

export type ChartChord = {
  /** As written. */
  readonly text: string;
  /** Undefined: no chord here (N.C.). */
  readonly symbol: ChordSymbol | undefined;
  /** 0 in a pick-up, whose beats are the last of a bar. */
  readonly bar: number;
  readonly beat: number;
  /** Beats of its own metre until the next chord, over the bar line where it is held on. */
  readonly beats: number;
  /** Where it begins and how long it is, in quarter notes from the beginning of the chart. */
  readonly start: number;
  readonly length: number;
};

/** A metre, and where it begins to hold: in quarter notes from the beginning of the chart. */
export type ChartMetre = Metre & { readonly start: number };

export type Chart = {
  /** '' when the chart has none. */
  readonly title: string;
  readonly key: Key | undefined;
  /** The metre it begins in, and each other one it turns to. */
  readonly metres: readonly [ChartMetre, ...ChartMetre[]];
  /** Quarter notes before the first bar; 0 for none. */
  readonly pickup: number;
  /** Beats of the first metre a minute. */
  readonly tempo: number;
  /** The note the tempo was written in; a beat of the first metre unless it says another one. */
  readonly beatNote: BeatNote;
  /** Without the pick-up. */
  readonly bars: number;
  readonly chords: readonly ChartChord[];
};

export const plainTempo = 120;

/** Quarter notes in so many beats of a metre. */
export function quartersOf(beats: number, { unit }: Metre): number {
  return (beats * 4) / unit;
}
