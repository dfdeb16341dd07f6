/** The messages of a MIDI file in the order of time, those of one moment together. */
import { createDecoder } from './decode.ts';
import { mergedEvents } from './merged-events.ts';
import type { Message } from './message.ts';
import type { MidiFile } from './read-midi-file.ts';
import { firstSystemStatus } from './specification.ts';
import { tempoMapOf } from './tempo-map.ts';

export type Moment = {
  /** Seconds from the beginning of the file. */
  readonly at: number;
  readonly messages: readonly Message[];
};

/** A track, counted from 1, and a channel of it, 0–15. */
export type IsWanted = (track: number, channel: number) => boolean;

/** @param isWanted what is to be heard; all of it when left out. */
export function* momentsOf(
  file: MidiFile,
  isWanted: IsWanted = () => true,
): Generator<Moment, void> {
  const tracks = file.chunks
    .filter(({ isTrack }) => isTrack)
    .map((chunk, place) => ({ chunk, track: place + 1 }));
  const tempo = tempoMapOf(file);
  const decoder = createDecoder();
  let tick = 0;
  let messages: Message[] = [];
  for (const event of mergedEvents(tracks)) {
    const status = event.bytes[0] ?? firstSystemStatus;
    if (status >= firstSystemStatus || !isWanted(event.track, status & 0x0f)) continue;
    if (event.tick !== tick && messages.length > 0) {
      yield { at: tempo.microsecondsAt(tick) / 1e6, messages };
      messages = [];
    }
    tick = event.tick;
    messages.push(...decoder.push(event.bytes));
  }
  if (messages.length > 0) yield { at: tempo.microsecondsAt(tick) / 1e6, messages };
}
