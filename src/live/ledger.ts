/**
 * The ledger: the one owner of everything that sounds on the output, and the only place where a
 * note-on or a note-off is made. Notes voiced and notes passed through may coincide, so each
 * channel and note carries a count. However it is used, a note has as many note-offs as note-ons
 * once its count is back at 0.
 */

import type { Message } from '../midi/message.ts';
import { defaultReleaseVelocity } from '../midi/specification.ts';

export type Ledger = {
  /** One more wish for this note to sound: a note-on, after a note-off when it sounds already. */
  readonly start: (channel: number, note: number, velocity: number, out: Message[]) => void;
  /** One more wish for a note that sounds already to go on: no message. A silent note stays silent. */
  readonly share: (channel: number, note: number) => boolean;
  /**
   * One wish less; the last one brings the note-off, with the release velocity if one is known. A
   * note that does not sound stays silent.
   */
  readonly stop: (channel: number, note: number, out: Message[], velocity?: number) => void;
  /** Everything off, on every channel or on one. */
  readonly stopAll: (out: Message[], channel?: number) => void;
  /** Channels any note has sounded on since the start, ascending. */
  readonly channels: () => number[];
  /** Notes sounding now, ascending, each once. */
  readonly sounding: () => number[];
  /** Wishes for one note; 0 = silent. */
  readonly count: (channel: number, note: number) => number;
};

export function createLedger(): Ledger {
  const counts = new Uint16Array(16 * 128);
  let used = 0;

  const off = (channel: number, note: number, velocity = defaultReleaseVelocity): Message => ({
    type: 'noteOff',
    channel,
    note,
    velocity,
  });

  return {
    start(channel, note, velocity, out) {
      const slot = channel * 128 + note;
      const before = counts[slot] ?? 0;
      // Struck again: a second note-on over a sounding note means different things to different
      // instruments, so the first is ended before.
      if (before > 0) out.push(off(channel, note));
      out.push({ type: 'noteOn', channel, note, velocity });
      counts[slot] = before + 1;
      used |= 1 << channel;
    },
    share(channel, note) {
      const slot = channel * 128 + note;
      const before = counts[slot] ?? 0;
      if (before > 0) counts[slot] = before + 1;
      return before > 0;
    },
    stop(channel, note, out, velocity) {
      const slot = channel * 128 + note;
      const before = counts[slot] ?? 0;
      if (before === 0) return;
      counts[slot] = before - 1;
      if (before === 1) out.push(off(channel, note, velocity));
    },
    stopAll(out, channel) {
      const first = channel === undefined ? 0 : channel * 128;
      const end = channel === undefined ? counts.length : first + 128;
      for (let slot = first; slot < end; slot += 1) {
        if (counts[slot] === 0) continue;
        counts[slot] = 0;
        out.push(off(slot >> 7, slot & 127));
      }
    },
    channels: () => [...Array(16).keys()].filter((channel) => (used & (1 << channel)) !== 0),
    sounding() {
      const notes = new Set<number>();
      counts.forEach((count, slot) => {
        if (count > 0) notes.add(slot & 127);
      });
      return [...notes].sort((one, other) => one - other);
    },
    count: (channel, note) => counts[channel * 128 + note] ?? 0,
  };
}
