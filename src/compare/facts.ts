/**
 * What can be measured of a treatment: counts, semitones and MIDI note numbers, and no judgement.
 * Chords are as they are played, silence left out; a change goes from one sounding chord to the next.
 */
import type { Sounding, VoicedChart } from '../chart/voice.ts';
import { calledDegree } from '../harmony/chord/chord-type.ts';
import { semitonesOf } from '../harmony/pitch/degree.ts';
import { has } from '../harmony/pitch/pitch-class-set.ts';
import { roughnessOf } from '../sound/roughness.ts';
import { isPlayable, isPlayableByOne, type Reach, reachSemitones } from '../voicing/hands.ts';
import { motionBetween } from '../voicing/motion.ts';
import { degreeAmong, fromRoot } from '../voicing/sounding.ts';
import type { Voicing } from '../voicing/voicing.ts';

/** Of several chords. */
export type Range = { readonly least: number; readonly most: number; readonly mean: number };

/** How often each was counted, in the order it is told. */
export type Counts = readonly (readonly [name: string, count: number])[];

export type ChordFacts = {
  /** With the bass. */
  readonly voices: number;
  readonly hasBass: boolean;
  /** Semitones from the lowest to the highest note. */
  readonly span: number;
  /** MIDI note number in the middle of the upper voices: their mean. */
  readonly middle: number;
  /** Degrees that sound and are tensions. */
  readonly tensions: readonly string[];
  /** Degrees of the written chord that do not sound, root and fifth among them. */
  readonly leftOut: readonly string[];
  /** Semitones between neighbours, lowest first. */
  readonly intervals: readonly number[];
  readonly roughness: number;
  readonly isForOneHand: boolean;
  readonly isForTwoHands: boolean;
};

export type Move = {
  /** All upper voices together. */
  readonly semitones: number;
  /** Undefined: one of the two chords has no bass. */
  readonly bass: number | undefined;
  /** Notes of the same pitch in both chords. */
  readonly commonTones: number;
};

export type Facts = {
  readonly reach: Reach;
  /** Of each chord as it is played; undefined for silence. */
  readonly chords: readonly (ChordFacts | undefined)[];
  readonly moves: readonly Move[];
};

/** A tension is what stands above the seventh: 9, 11, 13 and their alterations. */
function isTension(degree: string): boolean {
  return /(?:9|11|13)$/u.test(degree);
}

/** Tones that any chord may do without, and that are told all the same. */
const first: readonly string[] = ['1', '5'];

/** What the symbol only implies, as the ninth of a thirteenth, is no tone that is left out. */
function leftOutOf({ harmony: { chord }, voicing }: Sounding): readonly string[] {
  const { degrees, optional } = chord.type;
  const sounding = fromRoot(voicing.notes, chord.root);
  const implied = optional.filter((degree) => !first.includes(degree));
  const omitted: readonly string[] = [...implied, ...chord.reading.omitted];
  return degrees
    .filter((degree) => !has(sounding, semitonesOf(degree)) && !omitted.includes(degree))
    .map((degree) => calledDegree(degree, chord.type));
}

export function chordFacts(sounding: Sounding, reach: Reach): ChordFacts {
  const { voicing, harmony } = sounding;
  const { notes, upper, bass } = voicing;
  const semitones = reachSemitones(reach);
  const degrees = notes.map((note) => degreeAmong(notes, note, harmony));
  return {
    voices: notes.length,
    hasBass: bass !== undefined,
    span: (notes.at(-1) ?? 0) - (notes[0] ?? 0),
    middle: meanOf(upper.length > 0 ? upper : notes),
    tensions: [...new Set(degrees.filter(isTension))],
    leftOut: leftOutOf(sounding),
    intervals: notes.slice(1).map((note, place) => note - (notes[place] ?? 0)),
    roughness: roughnessOf(notes),
    isForOneHand: isPlayableByOne(voicing, semitones),
    isForTwoHands: isPlayable(voicing, semitones),
  };
}

export function moveBetween(last: Voicing, next: Voicing): Move {
  const hasBass = last.bass !== undefined && next.bass !== undefined;
  return {
    semitones: motionBetween(last.upper, next.upper),
    bass: hasBass ? Math.abs((next.bass ?? 0) - (last.bass ?? 0)) : undefined,
    commonTones: next.notes.filter((note) => last.notes.includes(note)).length,
  };
}

export function factsOf({ chords }: VoicedChart, reach: Reach): Facts {
  const soundings = chords.flatMap(({ sounding }) => sounding ?? []);
  return {
    reach,
    chords: chords.map(({ sounding }) => sounding && chordFacts(sounding, reach)),
    moves: soundings.slice(1).flatMap(({ voicing }, place) => {
      const last = soundings[place]?.voicing;
      return last === undefined ? [] : [moveBetween(last, voicing)];
    }),
  };
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length);
}

/** Undefined for no values. */
export function rangeOf(values: readonly number[]): Range | undefined {
  if (values.length === 0) return undefined;
  const least = values.reduce((low, value) => Math.min(low, value));
  const most = values.reduce((high, value) => Math.max(high, value));
  return { least, most, mean: meanOf(values) };
}

/** The most frequent first. */
export function countsOf(names: readonly string[]): Counts {
  const counts = new Map<string, number>();
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
  return [...counts].sort(([, one], [, other]) => other - one);
}

export function soundingChords({ chords }: Facts): readonly ChordFacts[] {
  return chords.flatMap((chord) => chord ?? []);
}
