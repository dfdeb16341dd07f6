/**
 * A chord chart as a value: chords in bars and beats as they are played, and the form as it is
 * written. Bars and beats count from 1; a repeated bar counts again each time it is played.
 */

import type { Key } from '../harmony/key/key.ts';
import type { ChordSymbol } from '../harmony/symbol/chord-symbol.ts';
import type { BeatNote } from '../midi/beat-note.ts';
import type { Metre } from '../midi/metre.ts';
import type { Chosen } from './chosen.ts';
import { exactly } from './exactly.ts';
import type { WrittenBar } from './form.ts';

export type ChartChord = {
  /** As written. */
  readonly text: string;
  /** Undefined: no chord here (N.C., or a rest, whose text is 'r'). */
  readonly symbol: ChordSymbol | undefined;
  /** 0 in a pick-up, whose beats are the last of a bar. */
  readonly bar: number;
  readonly beat: number;
  /** Beats of its own metre until the next chord, over the bar line where it is held on. */
  readonly beats: number;
  /** Where it begins and how long it is, in quarter notes from the beginning of the chart. */
  readonly start: number;
  readonly length: number;
  /** Where it is written: the bar's place in the form, and the chord's among the shares of the bar. */
  readonly written: { readonly bar: number; readonly share: number };
  /** In parentheses. */
  readonly isOptional: boolean;
  /** The MIDI note that is to be its top voice. */
  readonly lead: number | undefined;
  /** Empty: nothing is. */
  readonly chosen: Chosen;
};

/** A metre, and where it begins to hold: in quarter notes from the beginning of the chart. */
export type ChartMetre = Metre & { readonly start: number };

export type Chart = {
  /** '' when the chart has none. */
  readonly title: string;
  /** '' for none, as is the style: 'bossa nova'. */
  readonly composer: string;
  readonly style: string;
  readonly key: Key | undefined;
  /** The metre it begins in, and each other one it turns to. */
  readonly metres: readonly [ChartMetre, ...ChartMetre[]];
  /** Quarter notes before the first bar; 0 for none. */
  readonly pickup: number;
  /** Beats of the first metre a minute. */
  readonly tempo: number;
  /** The note the tempo was written in; a beat of the first metre unless it says another one. */
  readonly beatNote: BeatNote;
  /** As they are played, without the pick-up. */
  readonly bars: number;
  readonly chords: readonly ChartChord[];
  readonly form: ChartForm;
};

export type ChartForm = {
  /** In the order of the page. */
  readonly bars: readonly WrittenBar[];
  /** Their places, in the order they are played. */
  readonly order: readonly number[];
  /** Comments among the lines above the music, each before the line of that name. */
  readonly comments: readonly { readonly before: string; readonly words: string }[];
  /** Below the last bar. */
  readonly commentsBelow: readonly string[];
};

export const plainTempo = 120;

/** Quarter notes in so many beats of a metre. */
export function quartersOf(beats: number, { unit }: Metre): number {
  return exactly((beats * 4) / unit);
}
