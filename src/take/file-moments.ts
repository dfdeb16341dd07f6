/** The messages of a MIDI file in the order of time, those of one moment together. */
import { createDecoder } from '../midi/decode.ts';
import type { Message } from '../midi/message.ts';
import type { MidiFile } from '../midi/read-midi-file.ts';
import { tempoMapOf } from '../midi/tempo-map.ts';
import { mergedEvents } from './merged-events.ts';

export type Moment = {
  /** Seconds from the beginning of the file. */
  readonly at: number;
  readonly messages: readonly Message[];
};

const firstSystemStatus = 0xf0;

/** @param isWanted tells of a track, counted from 1, whether it is to be heard; all are without it. */
export function* momentsOf(
  file: MidiFile,
  isWanted: (track: number) => boolean = () => true,
): Generator<Moment, void> {
  const tracks = file.chunks
    .filter(({ isTrack }) => isTrack)
    .map((chunk, place) => ({ chunk, track: place + 1 }))
    .filter(({ track }) => isWanted(track));
  const tempo = tempoMapOf(file);
  const decoder = createDecoder();
  let tick = 0;
  let messages: Message[] = [];
  for (const event of mergedEvents(tracks)) {
    if ((event.bytes[0] ?? firstSystemStatus) >= firstSystemStatus) continue;
    if (event.tick !== tick && messages.length > 0) {
      yield { at: tempo.microsecondsAt(tick) / 1e6, messages };
      messages = [];
    }
    tick = event.tick;
    messages.push(...decoder.push(event.bytes));
  }
  if (messages.length > 0) yield { at: tempo.microsecondsAt(tick) / 1e6, messages };
}
