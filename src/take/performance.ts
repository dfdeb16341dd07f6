/**
 * A performance: messages with times, to be played as if they came from a keyboard. The built-in
 * one is shared/demo.json; its small unevenness is fixed, so that it is the same every time.
 */
import demo from '../../shared/demo.json' with { type: 'json' };
import { encode } from '../midi/encode.ts';

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
  /** When the last key has come up and a moment has passed. */
  readonly lengthMicroseconds: number;
};

/** Microseconds from one key of a chord to the next: a hand is never quite together. */
const keySpread = 4_000;
/** Keys come up this long before the next chord. */
const liftEarly = 40_000;
const chordChannel = 0;

/** The notes `semitones` higher than written. */
export function demoPerformance(semitones = 0): Performance {
  const beat = 60_000_000 / demo.beatsPerMinute;
  const events = demo.chords.flatMap(({ beat: start, beats, notes, velocity }) =>
    notes
      .map((note) => note + semitones)
      .flatMap((note, finger): TimedBytes[] => [
        {
          atMicroseconds: Math.round(start * beat) + finger * keySpread,
          bytes: encode({
            type: 'noteOn',
            channel: chordChannel,
            note,
            velocity: velocity + finger,
          }),
        },
        {
          atMicroseconds: Math.round((start + beats) * beat) - liftEarly + finger * keySpread,
          bytes: encode({ type: 'noteOff', channel: chordChannel, note, velocity: 64 }),
        },
      ]),
  );
  events.sort((one, other) => one.atMicroseconds - other.atMicroseconds);
  const last = events.at(-1)?.atMicroseconds ?? 0;
  return { title: demo.title, key: demo.key, events, lengthMicroseconds: last + beat / 2 };
}
