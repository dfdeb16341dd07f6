/**
 * One minute for two hands: the built-in tune with a melody, a walking bass and the pedal, a beat a
 * second. The times keep clear of each other, for an emulated machine is late by tens of milliseconds:
 * keys that belong together lie within 20 ms, are read 150 ms after the first of them, and nothing
 * else happens from 150 ms before to 150 ms after that.
 */
import tune from '../../shared/demo-two-hands.json' with { type: 'json' };
import { control, type Played } from './performance.ts';

export const keyName = 'Eb major';
export const presetFrom = 'drop-2-sevenths';
const beatMs = 1000;
/** From one key of a chord to the next. */
const raggedMs = 6;
const chordLiftMs = 180;
const lineLiftMs = 60;
const pedalAfterBeats = 0.35;

export type Key = {
  readonly note: number;
  readonly velocity: number;
  readonly downMs: number;
  readonly upMs: number;
};

function line(notes: typeof tune.melody): Key[] {
  return notes.map(({ beat, beats, note, velocity }) => ({
    note,
    velocity,
    downMs: beat * beatMs,
    upMs: (beat + beats) * beatMs - lineLiftMs,
  }));
}

/** Keys of the lines, each of which is to sound as it is played. */
export const melody: readonly Key[] = line(tune.melody);
export const bass: readonly Key[] = line(tune.bass);

const chords: readonly Key[] = tune.chords.flatMap(({ beat, beats, notes, velocity }) =>
  notes.map((note, finger) => ({
    note,
    velocity: velocity + finger,
    downMs: beat * beatMs + (finger + 1) * raggedMs,
    upMs: (beat + beats) * beatMs - chordLiftMs,
  })),
);

function played({ note, velocity, downMs, upMs }: Key): Played[] {
  const common = { channel: 0, noteNumber: note, deltaTime: 0 } as const;
  return [
    { atMs: downMs, event: { ...common, type: 'noteOn', velocity } },
    { atMs: upMs, event: { ...common, type: 'noteOff', velocity: 40 } },
  ];
}

/** In order of time. */
export function twoHandsTune(): readonly Played[] {
  return [
    ...[...melody, ...bass, ...chords].flatMap(played),
    ...tune.pedal.flatMap(([down = 0, up = 0]) => [
      control(64, 127, Math.floor(down) * beatMs + pedalAfterBeats * beatMs),
      control(64, 0, up * beatMs - chordLiftMs / 2),
    ]),
  ].toSorted((one, other) => one.atMs - other.atMs);
}
