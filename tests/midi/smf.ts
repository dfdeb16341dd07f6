/** MIDI files for tests, byte by byte, and what an independent parser reads in one. */
import { parseMidi } from 'midi-file';
import { createTrackBuilder } from '../../src/midi/track-builder.ts';

export type Event = readonly [tick: number, ...bytes: number[]];

const ascii = (words: string) => [...words].map((letter) => letter.charCodeAt(0));
export const endOfTrack = [0xff, 0x2f, 0] as const;

export function text(type: number, words: string): number[] {
  return [0xff, type, words.length, ...ascii(words)];
}

export function track(...events: Event[]): Uint8Array {
  const builder = createTrackBuilder();
  for (const [tick, ...bytes] of events) builder.add(tick, bytes);
  const last = events.reduce((latest, [tick]) => Math.max(latest, tick), 0);
  builder.add(last, endOfTrack);
  return builder.finish();
}

/** A chunk from bytes as they are, delta times and all. */
export function rawTrack(...data: number[]): Uint8Array {
  const { length } = data;
  return Uint8Array.from([...ascii('MTrk'), 0, 0, length >> 8, length & 0xff, ...data]);
}

/** @param division the header's word: ticks per quarter note, or frames and ticks. */
export function file(format: number, division: number, ...tracks: Uint8Array[]): Uint8Array {
  const header = [0, format, 0, tracks.length, division >> 8, division & 0xff];
  return Uint8Array.from([
    ...ascii('MThd'),
    ...[0, 0, 0, 6],
    ...header,
    ...tracks.flatMap((bytes) => [...bytes]),
  ]);
}

/** Each track's events as midi-file reads them, with absolute ticks and without running status. */
export function eventsByMidiFile(bytes: Uint8Array): readonly (readonly unknown[])[] {
  return parseMidi(bytes).tracks.map((events) => {
    let tick = 0;
    return events.map(({ deltaTime, ...event }) => {
      tick += deltaTime;
      return { ...event, running: undefined, tick };
    });
  });
}
