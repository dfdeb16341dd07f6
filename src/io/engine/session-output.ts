/**
 * The way out of a session: messages become bytes, are counted as they go, and are kept for the take
 * when one is recorded.
 */
import { encode } from '../../midi/encode.ts';
import type { Message } from '../../midi/message.ts';
import { controllers, firstRealTimeStatus } from '../../midi/specification.ts';
import { createSoundingCount, type SoundingCount } from '../stuck-notes/sounding-count.ts';
import type { TakeEvent } from './stage-state.ts';

export type SessionOutput = {
  readonly count: SoundingCount;
  /** @throws when the message has no bytes, or what the given `send` throws. */
  readonly send: (message: Message, atMicroseconds: number) => void;
  /** The same where nothing is left to fall back on; the next message may fare better. */
  readonly trySend: (message: Message, atMicroseconds: number) => void;
  /** As many note-offs as note-ons are open. */
  readonly sendNoteOffs: (atMicroseconds: number) => void;
  /** Damper and sostenuto up wherever they are down. */
  readonly sendPedalsUp: (atMicroseconds: number) => void;
  /** Sustain off and All Notes Off on every channel used so far (MIDI 1.0, table III). */
  readonly silenceChannels: (atMicroseconds: number) => void;
  /** For the take: the player's side. */
  readonly keepPlayed: (message: Message, atMicroseconds: number) => void;
  /** Messages since the last call. */
  readonly takeEvents: () => readonly TakeEvent[];
};

export function createSessionOutput(
  sendBytes: (bytes: readonly number[]) => void,
  isRecording: boolean,
): SessionOutput {
  const count = createSoundingCount();
  let events: TakeEvent[] = [];

  const keep = (direction: TakeEvent['direction'], bytes: readonly number[], at: number) => {
    // Real-time messages have no place in a Standard MIDI File, and a clock would fill the take.
    if (!isRecording || (bytes[0] ?? 0) >= firstRealTimeStatus) return;
    events.push({ atMicroseconds: at, direction, bytes });
  };
  const send = (message: Message, at: number) => {
    const bytes = encode(message);
    sendBytes(bytes);
    count.record(message);
    keep('sounded', bytes, at);
  };
  const trySend = (message: Message, at: number) => {
    try {
      send(message, at);
    } catch {}
  };
  return {
    count,
    send,
    trySend,
    sendNoteOffs(at) {
      for (const message of count.takeNoteOffs()) trySend(message, at);
    },
    sendPedalsUp(at) {
      for (const pedal of count.open().pedals) {
        trySend({ type: 'controlChange', ...pedal, value: 0 }, at);
      }
    },
    silenceChannels(at) {
      for (const channel of count.channelsInUse()) {
        for (const controller of [controllers.sustain, controllers.allNotesOff]) {
          trySend({ type: 'controlChange', channel, controller, value: 0 }, at);
        }
      }
    },
    keepPlayed(message, at) {
      if (isRecording) keep('played', encode(message), at);
    },
    takeEvents() {
      const taken = events;
      events = [];
      return taken;
    },
  };
}
