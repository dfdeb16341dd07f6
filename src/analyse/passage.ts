/**
 * Music to be analysed, whatever it came from: the notes of its harmony in time, where its bars are,
 * and what is known of it beforehand. Times are microseconds from the beginning of the file.
 */
import type { Chord } from '../harmony/chord/chord.ts';
import type { Key } from '../harmony/key/key.ts';
import type { MakeGestures } from '../revoice/gestures.ts';
import type { Metre } from '../score/progression.ts';

export type PassageNote = {
  readonly start: number;
  readonly end: number;
  /** When it is heard no more: later than `end` where the sustain pedal keeps it. */
  readonly rings: number;
  /** MIDI note number, 60 = C4. */
  readonly note: number;
  readonly velocity: number;
  /** It stands on the part of the bass, where the music has one. */
  readonly isOfBass: boolean;
};

export type Place = {
  /** From 1; 0 for a pick-up. */
  readonly bar: number;
  /** From 1, in beats of the bar's own metre; parts of a beat are halves, thirds and quarters. */
  readonly beat: number;
};

export type BeatTime = {
  readonly placeAt: (microseconds: number) => Place;
  /** Microseconds of a beat there. */
  readonly beatAt: (microseconds: number) => number;
  /** Quarter notes from the beginning. */
  readonly quartersAt: (microseconds: number) => number;
};

/** The chord that stands written where these notes sound; undefined: none, or another. */
export type Written = (at: number, notes: readonly number[]) => Chord | undefined;

export type Passage = {
  /** By their beginnings, then from the lowest up. */
  readonly notes: readonly PassageNote[];
  readonly time: BeatTime;
  /** The key that the music itself names; absent: none. */
  readonly signature?: Key;
  /** To be asked in the order of time; absent: no chords stand written. */
  readonly written?: Written;
  /** What stands written is what was heard, as in a take: its basses tell how a hand lay. */
  readonly isWrittenAsHeard?: boolean;
  /** What is no part of the harmony, in words: 'track 2 channel 1 (a line above the chords)'. */
  readonly left: readonly string[];
  /** The bass is a part of its own. */
  readonly hasBassPart: boolean;
  /** How notes are told to be one gesture: those of a hand, or broken chords. */
  readonly gestures: MakeGestures;
  /** '' for none. */
  readonly title: string;
  /** For a score: its metres, in ticks of the score's own division, and the pick-up before them. */
  readonly metres: readonly Metre[];
  readonly pickup: number;
};
