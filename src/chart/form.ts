/**
 * A chart as it is written: bars with their signs in the order of the page. lay-out.ts makes them of
 * text, play-order.ts says in which order they are played, write.ts turns them into text again.
 */
import type { Key } from '../harmony/key/key.ts';
import type { ChordSymbol } from '../harmony/symbol/chord-symbol.ts';
import type { Metre } from '../midi/metre.ts';
import type { Chosen } from './chosen.ts';
import { exactly } from './exactly.ts';
import type { JumpEnd, JumpTarget } from './token.ts';

/** Where something stands in the text, counted from 1; 0 for a form that was never text. */
export type TextPlace = { readonly line: number; readonly column: number };

export type WrittenChord = {
  /** As written, without the signs around it: 'Cm7', 'N.C.'. */
  readonly text: string;
  /** Undefined: no chord (N.C.). */
  readonly symbol: ChordSymbol | undefined;
  /** Comes an eighth note before its place (a quarter where halves are counted). */
  readonly isPushed: boolean;
  /** Written in parentheses: players may leave it out. It is played. */
  readonly isOptional: boolean;
  /** The MIDI note that is to be its top voice. */
  readonly lead: number | undefined;
  /** Empty: nothing is. */
  readonly chosen: Chosen;
};

/** What a part of a bar is: a new chord, a rest, or what sounded before held on. */
export type Share = TextPlace & {
  /** Of the bar's metre; parts of a beat are halves, thirds and quarters. */
  readonly beats: number;
} & ({ readonly kind: 'chord'; readonly chord: WrittenChord } | { readonly kind: 'held' | 'rest' });

export type Cue = {
  /** Beats from the beginning of the bar. */
  readonly at: number;
  readonly words: string;
};

export type Jump = TextPlace & { readonly to: JumpTarget; readonly until: JumpEnd };

/** A bracket over bars that are played only the first time, the second time … */
export type Ending = {
  /** The times it is played, from 1. */
  readonly numbers: readonly number[];
  readonly isFirstBar: boolean;
  readonly isLastBar: boolean;
};

export type WrittenBar = TextPlace & {
  /** A pick-up has fewer beats than its metre. */
  readonly metre: Metre;
  readonly isPickup: boolean;
  readonly shares: readonly Share[];
  readonly cues: readonly Cue[];
  /** Written as a repeat of the bar before. */
  readonly isAgain: boolean;
  /** Written with its neighbour as a repeat of the two bars before. */
  readonly pairAgain: 'first' | 'second' | undefined;
  /** The key that holds there; undefined: none. */
  readonly key: Key | undefined;
  /** The section that begins with it; '' for none. */
  readonly section: string;
  readonly isRepeatStart: boolean;
  /** How often the bars that end with it are played; 1: no repeat ends with it. */
  readonly times: number;
  readonly ending: Ending | undefined;
  readonly isSegno: boolean;
  readonly isCoda: boolean;
  /** At its end. */
  readonly toCoda: TextPlace | undefined;
  readonly fine: TextPlace | undefined;
  readonly jump: Jump | undefined;
  readonly barLine: 'single' | 'double' | 'final';
  /** A line of the text begins with it. */
  readonly isLineStart: boolean;
  /** Lines of comment above it, without their #. */
  readonly commentsAbove: readonly string[];
  /** The comment behind it, at the end of its line. */
  readonly comment: string;
};

/** Beats that the bar has. */
export function beatsIn({ shares }: Pick<WrittenBar, 'shares'>): number {
  return exactly(shares.reduce((sum, { beats }) => sum + beats, 0));
}
