/**
 * What a listener hears of the messages sent: an instrument that honours the sustain pedal (CC 64),
 * with the spans in which each note rings. Times are microseconds, notes MIDI numbers.
 */
import type { Message } from '../../../src/midi/message.ts';

export type Sent = { readonly at: number; readonly message: Message };

export type Span = {
  readonly channel: number;
  readonly note: number;
  readonly velocity: number;
  /** When it was struck. */
  readonly from: number;
  /** When its note-off came, or it was struck again. */
  released: number;
  /** When it fell silent: the note-off, or the pedal after it. */
  to: number;
};

const sustain = 64;
/** MIDI 1.0: a switch is on from 64. */
const pedalDown = 64;

export type Receiver = {
  /** In the order they were struck. */
  readonly spans: readonly Span[];
  /** Different notes that ring just after everything sent at `at`, ascending; on one channel or all. */
  readonly ringing: (at: number, channel?: number) => number[];
  /** Struck at `from` or later, up to and with `to`. */
  readonly strikes: (from: number, to: number) => Span[];
  /** Every time at which what rings may change, from `from` up to and with `to`; both are among them. */
  readonly changes: (from: number, to: number) => number[];
};

export function receive(sent: readonly Sent[]): Receiver {
  const spans: Span[] = [];
  const on = new Map<number, Span>();
  /** Ended by a note-off, held by the pedal. */
  const pedalled = new Set<Span>();
  const isDown = new Array<boolean>(16).fill(false);

  const cut = (slot: number, at: number): void => {
    const span = on.get(slot);
    if (span !== undefined) {
      span.released = at;
      span.to = at;
    }
    on.delete(slot);
    for (const held of pedalled) {
      if (held.channel * 128 + held.note !== slot) continue;
      held.to = at;
      pedalled.delete(held);
    }
  };

  const lift = (slot: number, at: number): void => {
    const span = on.get(slot);
    if (span === undefined) return;
    span.released = at;
    on.delete(slot);
    if (isDown[slot >> 7] === true) pedalled.add(span);
    else span.to = at;
  };

  const liftPedal = (channel: number, at: number): void => {
    for (const held of pedalled) {
      if (held.channel !== channel) continue;
      held.to = at;
      pedalled.delete(held);
    }
  };

  for (const { at, message } of sent) {
    if (message.type === 'noteOn') {
      const { channel, note, velocity } = message;
      const slot = channel * 128 + note;
      cut(slot, at);
      const forever = Number.POSITIVE_INFINITY;
      const span = { channel, note, velocity, from: at, released: forever, to: forever };
      spans.push(span);
      on.set(slot, span);
    } else if (message.type === 'noteOff') {
      lift(message.channel * 128 + message.note, at);
    } else if (message.type === 'controlChange' && message.controller === sustain) {
      isDown[message.channel] = message.value >= pedalDown;
      if (message.value < pedalDown) liftPedal(message.channel, at);
    }
  }

  const times = [...new Set(spans.flatMap(({ from, to }) => [from, to]))].sort(
    (one, other) => one - other,
  );

  return {
    spans,
    ringing(at, channel) {
      const notes = new Set<number>();
      for (const span of spans) {
        const isHere = channel === undefined || span.channel === channel;
        if (isHere && span.from <= at && at < span.to) notes.add(span.note);
      }
      return [...notes].sort((one, other) => one - other);
    },
    strikes: (from, to) => spans.filter((span) => span.from >= from && span.from <= to),
    changes: (from, to) => [from, ...times.filter((at) => at > from && at < to), to],
  };
}
