/**
 * From a progression to what stands on the two staves: the hands of each chord, the melody in a
 * voice of its own, and each voice's bar cut into written values with their rests and ties.
 */

import { spellPlainly } from '../harmony/chord/spelling.ts';
import type { Key } from '../harmony/key/key.ts';
import {
  enharmonics,
  formatNote,
  parseNote,
  parsePitchClass,
  pitchClassOfSpelled,
  type SpelledPitchClass,
} from '../harmony/pitch/pitch-name.ts';
import { handsOf } from './hands.ts';
import { tripletQuarters, type Value, valuesOf } from './note-values.ts';
import type { PlayerPart } from './player-part.ts';
import {
  type Bar,
  keyAt,
  lowestOnUpperStaff,
  type MelodyNote,
  type Progression,
  ticksBefore,
} from './progression.ts';

export type Pitch = SpelledPitchClass & {
  /** The octave of the letter: Cb4 is note 59. */
  readonly octave: number;
};

/** Notes that begin and end together in one voice. */
export type Stretch = {
  readonly tick: number;
  readonly length: number;
  readonly pitches: readonly Pitch[];
};

export type StaffVoice = {
  readonly staff: 1 | 2;
  /** MusicXML's number for the voice: 1 and 2 above, 5 and 6 below. */
  readonly voice: 1 | 2 | 5 | 6;
  /** Notes beside the chords of the same staff. */
  readonly isBeside: boolean;
  /** In order; none reaches into the next. */
  readonly stretches: readonly Stretch[];
};

/** A written note, chord or rest of a bar. */
export type Written = Value & {
  readonly pitches: readonly Pitch[];
  readonly isTiedIn: boolean;
  readonly isTiedOut: boolean;
  /** A rest of a whole bar. */
  readonly isWholeBar: boolean;
};

/** @throws RangeError for a name that is no note: names come from our own spelling. */
export function pitchOf(name: string): Pitch {
  const spelled = parsePitchClass(name.replace(/-?\d+$/, ''));
  const note = parseNote(name);
  if (spelled === undefined || note === undefined) throw new RangeError(`"${name}" is no note`);
  const octave = Math.floor((note - spelled.accidental) / 12) - 1;
  return { ...spelled, octave };
}

/**
 * As players read them: nobody writes a Gb diminished seventh Gb Bbb Dbb Fbb, but Gb A C Eb. Double
 * accidentals stay where the plain name would share its line with another note of the hand. Common
 * practice, no source.
 */
function readable(
  notes: readonly { readonly note: number; readonly name: string }[],
  key: Key | undefined,
): readonly Pitch[] {
  const pitches = notes.map(({ name }) => pitchOf(name));
  return notes.map(({ note, name }, place) => {
    const strict = pitchOf(name);
    if (Math.abs(strict.accidental) < 2) return strict;
    const plain = pitchOf(formatNote(note, spellPlainly(note % 12, key)));
    const isTaken = pitches.some(
      ({ letter, octave }, other) =>
        other !== place && letter === plain.letter && octave === plain.octave,
    );
    return isTaken ? strict : plain;
  });
}

/** Of two notes on one line of the staff the lower takes the letter below: D# under E, not Eb. */
function apart(pitches: readonly Pitch[]): readonly Pitch[] {
  return pitches.map((pitch, place) => {
    const next = pitches[place + 1];
    if (next?.letter !== pitch.letter || next.octave !== pitch.octave) return pitch;
    const note = noteOf(pitch);
    const letter = (pitch.letter + 6) % 7;
    const other = enharmonics(note % 12).find(
      (name) => name.letter === letter && Math.abs(name.accidental) < 2,
    );
    return other === undefined ? pitch : pitchOf(formatNote(note, other));
  });
}

function noteOf({ letter, accidental, octave }: Pitch): number {
  return (octave + 1) * 12 + pitchClassOfSpelled({ letter, accidental: 0 }) + accidental;
}

/** One staff of a player, as it is written. */
function playerVoice({ notes }: PlayerPart, key: Key | undefined): StaffVoice {
  const stretches = notes.map(({ tick, length, names }) => {
    const named = names.map((name) => ({ note: parseNote(name) ?? 0, name }));
    return { tick, length, pitches: apart(readable(named, key)) };
  });
  return { staff: 1, voice: 1, isBeside: false, stretches };
}

/** Always both staves, but for a player's part; further voices only for notes beside the chords. */
export function voicesOf(progression: Progression): readonly StaffVoice[] {
  const { chords, melody, player } = progression;
  if (player !== undefined) return [playerVoice(player, progression.key)];
  const hands = chords.map((chord) => ({ ...chord, ...handsOf(chord.notes) }));
  const stretches = (hand: 'left' | 'right'): Stretch[] =>
    hands
      .filter((chord) => chord[hand].length > 0)
      .map(({ tick, length, ...chord }) => {
        return { tick, length, pitches: readable(chord[hand], keyAt(progression, tick)) };
      });
  const tune = (isOnStaff: (note: MelodyNote) => boolean): Stretch[] =>
    melody.filter(isOnStaff).map(({ tick, length, ...note }) => {
      return { tick, length, pitches: readable([note], keyAt(progression, tick)) };
    });
  const above = tune(({ note }) => note >= lowestOnUpperStaff);
  const below = tune(({ note }) => note < lowestOnUpperStaff);
  const right = stretches('right');
  const left: StaffVoice = {
    staff: 2,
    voice: 5,
    isBeside: false,
    stretches: stretches('left'),
  };
  // The lower number has its stems up: a melody over the chords, a bass line under them.
  const upper: readonly StaffVoice[] =
    above.length === 0
      ? [{ staff: 1, voice: 1, isBeside: false, stretches: right }]
      : [
          { staff: 1, voice: 1, isBeside: true, stretches: above },
          { staff: 1, voice: 2, isBeside: false, stretches: right },
        ];
  return below.length === 0
    ? [...upper, left]
    : [...upper, left, { staff: 2, voice: 6, isBeside: true, stretches: below }];
}

/**
 * One bar of a voice without a gap.
 * @param stretches those that sound in it, in order.
 */
export function writtenIn(bar: Bar, stretches: readonly Stretch[]): readonly Written[] {
  const end = bar.tick + bar.length;
  const inside = stretches.map((stretch) => ({
    stretch,
    from: Math.max(stretch.tick, bar.tick),
    to: Math.min(stretch.tick + stretch.length, end),
  }));
  // A whole bar's rest would make a pick-up a whole bar.
  if (inside.length === 0 && bar.number > 0) return [wholeBarRest(bar)];
  const valuesIn = valuesInBar(
    bar,
    inside.flatMap(({ from, to }) => [from, to]),
  );
  const written: Written[] = [];
  let at = bar.tick;
  for (const { stretch, from, to } of inside) {
    written.push(...rests(valuesIn(at, from)), ...tied(valuesIn(from, to), stretch, from, to));
    at = to;
  }
  return [...written, ...rests(valuesIn(at, end))];
}

/** Cuts what lies between two ticks of the bar into values, with positions from the bar line. */
function valuesInBar(bar: Bar, boundaries: readonly number[]) {
  const missing = ticksBefore(bar);
  const triplets = tripletQuarters(boundaries.map((tick) => tick - bar.tick + missing));
  return (from: number, to: number): readonly Value[] =>
    valuesOf(from - bar.tick + missing, to - from, bar.metre, triplets).map((value) => ({
      ...value,
      tick: value.tick - missing,
    }));
}

const silent = { pitches: [], isTiedIn: false, isTiedOut: false };

function rests(values: readonly Value[]): readonly Written[] {
  return values.map((value) => ({ ...value, ...silent, isWholeBar: false }));
}

function wholeBarRest({ length }: Bar): Written {
  return { tick: 0, length, type: 'whole', dots: 0, ...silent, isWholeBar: true };
}

function tied(
  values: readonly Value[],
  stretch: Stretch,
  from: number,
  to: number,
): readonly Written[] {
  return values.map((value, place) => ({
    ...value,
    pitches: stretch.pitches,
    isTiedIn: place > 0 || from > stretch.tick,
    isTiedOut: place < values.length - 1 || to < stretch.tick + stretch.length,
    isWholeBar: false,
  }));
}
