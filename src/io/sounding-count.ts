/**
 * An independent count of what was sent, note by note: the last resort when the engine, which owns
 * the sounding notes, has failed. It believes only what went through the output.
 */
import type { Message } from '../midi/message.ts';

export type SoundingCount = {
  /** To be called with every message sent, in order. */
  readonly record: (message: Message) => void;
  readonly isSounding: (channel: number, note: number) => boolean;
  /** As many note-offs as note-ons are open, lowest channel and note first; forgets them. */
  readonly takeNoteOffs: () => Message[];
  /** Channels a note or control change was sent on so far, lowest first. */
  readonly channelsInUse: () => number[];
};

export function createSoundingCount(): SoundingCount {
  const counts = new Uint16Array(16 * 128);
  const channels = new Uint8Array(16);
  return {
    record(message) {
      if (!('channel' in message)) return;
      channels[message.channel] = 1;
      if (message.type !== 'noteOn' && message.type !== 'noteOff') return;
      const at = message.channel * 128 + message.note;
      const count = counts[at] ?? 0;
      counts[at] = message.type === 'noteOn' ? count + 1 : Math.max(0, count - 1);
    },
    isSounding: (channel, note) => (counts[channel * 128 + note] ?? 0) > 0,
    takeNoteOffs() {
      const messages: Message[] = [];
      counts.forEach((count, at) => {
        const [channel, note] = [at >> 7, at & 0x7f];
        for (let left = count; left > 0; left--) {
          messages.push({ type: 'noteOff', channel, note, velocity: 64 });
        }
      });
      counts.fill(0);
      return messages;
    },
    channelsInUse: () => [...channels.keys()].filter((channel) => channels[channel] === 1),
  };
}
