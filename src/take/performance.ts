/**
 * A performance: messages with times, to be played as if they came from a keyboard. The built-in
 * ones are shared/demo.json and demo-two-hands.json; their small unevenness is fixed, so that they are
 * the same every time.
 */

import chords from '../../shared/demo.json' with { type: 'json' };
import twoHands from '../../shared/demo-two-hands.json' with { type: 'json' };
import { encode } from '../midi/encode.ts';
import { controllers, defaultReleaseVelocity } from '../midi/specification.ts';

export type TimedBytes = {
  /** From the start of the performance. */
  readonly atMicroseconds: number;
  readonly bytes: readonly number[];
};

export type Performance = {
  readonly title: string;
  readonly key: string;
  /** In the order of time. */
  readonly events: readonly TimedBytes[];
  /** Its chords in the order of time: when, and the notes that are played. */
  readonly chords: readonly {
    readonly atMicroseconds: number;
    readonly notes: readonly number[];
  }[];
  /** When the last key has come up and a moment has passed. */
  readonly lengthMicroseconds: number;
};

/** In blocks; or a melody over chords with the pedal, and a walking bass under them. */
export type DemoTune = 'chords' | 'two hands';

type Note = {
  /** Beats from the start, and how many it lasts. */
  readonly beat: number;
  readonly beats: number;
  readonly note: number;
  readonly velocity: number;
};

type Written = {
  readonly title: string;
  readonly key: string;
  readonly beatsPerMinute: number;
  readonly chords: readonly (Omit<Note, 'note'> & { readonly notes: readonly number[] })[];
  readonly melody?: readonly Note[];
  readonly bass?: readonly Note[];
  /** Beats on which the sustain pedal goes down and comes up. */
  readonly pedal?: readonly (readonly number[])[];
};

const tunes: { readonly [tune in DemoTune]: Written } = { chords, 'two hands': twoHands };

/** Microseconds from one key of a chord to the next: a hand is never quite together. */
const keySpread = 4_000;
/** Keys of a chord come up this long before the next one. */
const liftEarly = 40_000;
/** A note of a line comes up this long before the next one. */
const lineLift = 15_000;
const channel = 0;
const { sustain } = controllers;

/** The notes `semitones` higher than written. */
export function demoPerformance(semitones = 0, tune: DemoTune = 'chords'): Performance {
  const { title, key, beatsPerMinute, chords: blocks, ...rest } = tunes[tune];
  const { melody = [], bass = [], pedal = [] } = rest;
  const beat = 60_000_000 / beatsPerMinute;
  const timeOf = (beats: number): number => Math.round(beats * beat);
  const press = (written: number, velocity: number, from: number, to: number): TimedBytes[] => {
    const note = written + semitones;
    return [
      { atMicroseconds: from, bytes: encode({ type: 'noteOn', channel, note, velocity }) },
      {
        atMicroseconds: to,
        bytes: encode({ type: 'noteOff', channel, note, velocity: defaultReleaseVelocity }),
      },
    ];
  };
  const step = (at: number, value: number): TimedBytes => ({
    atMicroseconds: timeOf(at),
    bytes: encode({ type: 'controlChange', channel, controller: sustain, value }),
  });
  const events = [
    ...pedal.flatMap(([down = 0, up = 0]) => [step(down, 127), step(up, 0)]),
    ...[...melody, ...bass].flatMap((each) =>
      press(each.note, each.velocity, timeOf(each.beat), timeOf(each.beat + each.beats) - lineLift),
    ),
    ...blocks.flatMap(({ beat: start, beats, notes, velocity }) =>
      notes.flatMap((note, finger) => {
        const late = finger * keySpread;
        const end = timeOf(start + beats) - liftEarly;
        return press(note, velocity + finger, timeOf(start) + late, end + late);
      }),
    ),
  ].sort((one, other) => one.atMicroseconds - other.atMicroseconds);
  const asPlayed = blocks.map(({ beat: start, notes }) => ({
    atMicroseconds: timeOf(start),
    notes: notes.map((note) => note + semitones),
  }));
  const last = events.at(-1)?.atMicroseconds ?? 0;
  return { title, key, events, chords: asPlayed, lengthMicroseconds: last + beat / 2 };
}
