/**
 * A stream of MIDI bytes into messages, whatever the chunks. Never throws: a live stream may start
 * in the middle, lose bytes, or carry statuses nobody defined.
 *
 * Source: MIDI 1.0 Detailed Specification 4.2.1; above the code stands what it obeys, in our words,
 * with the subject the specification treats it under.
 */
import type { Message, NoteMessage } from './message.ts';
import {
  defaultReleaseVelocity,
  endOfExclusiveStatus,
  firstRealTimeStatus,
  isByte,
  type MessageRow,
  rowOfStatus,
  systemExclusiveStatus,
} from './specification.ts';

/** Data bytes kept of one SysEx. A longer one is dropped whole: half a dump is worse than none. */
export const longestExclusive = 65_536;

export type Decoder = {
  /** The messages that became complete with these bytes, in the order of their last byte. */
  readonly push: (bytes: ArrayLike<number>) => Message[];
  /** Forgets a message begun and the running status: the port was lost or is another one now. */
  readonly reset: () => void;
};

type State = {
  /** Channel status that data bytes without one belong to; undefined: no running status. */
  status: number | undefined;
  row: MessageRow | undefined;
  readonly data: number[];
  exclusive: number[] | undefined;
  isExclusiveTooLong: boolean;
};

export function createDecoder(): Decoder {
  const state: State = {
    status: undefined,
    row: undefined,
    data: [],
    exclusive: undefined,
    isExclusiveTooLong: false,
  };
  return {
    push(bytes) {
      const note = wholeNote(state, bytes);
      if (note !== undefined) return [note];
      const messages: Message[] = [];
      for (let index = 0; index < bytes.length; index++) {
        const byte: unknown = bytes[index];
        if (isByte(byte)) take(state, byte, messages);
      }
      return messages;
    },
    reset: () => {
      forget(state);
      state.exclusive = undefined;
    },
  };
}

/**
 * Nearly all that comes: one note, status and all, between other messages. Undefined: it is read
 * byte by byte. A note made here has the shape that all notes of the engine have.
 */
function wholeNote(state: State, bytes: ArrayLike<number>): NoteMessage | undefined {
  if (bytes.length !== 3 || state.exclusive !== undefined) return undefined;
  const status: unknown = bytes[0];
  const note: unknown = bytes[1];
  const velocity: unknown = bytes[2];
  if (!isByte(status) || !isByte(note) || !isByte(velocity)) return undefined;
  if (status < 0x80 || status > 0x9f || note >= 0x80 || velocity >= 0x80) return undefined;
  forget(state);
  state.status = status;
  state.row = rowOfStatus(status);
  return noteFrom(status, note, velocity);
}

/** Note-on: velocity 0 is a note-off; note-off: 64 is the velocity of one that has none. */
function noteFrom(status: number, note: number, velocity: number): NoteMessage {
  const channel = status & 0x0f;
  if (status < 0x90) return { type: 'noteOff', channel, note, velocity };
  return velocity === 0
    ? { type: 'noteOff', channel, note, velocity: defaultReleaseVelocity }
    : { type: 'noteOn', channel, note, velocity };
}

function take(state: State, byte: number, messages: Message[]): void {
  if (byte >= firstRealTimeStatus) {
    // System real time: may come at any time, even between the bytes of another message, and
    // leaves running status alone. F9 and FD are undefined: ignored.
    const row = rowOfStatus(byte);
    if (row) messages.push(messageFrom(row, byte, []));
  } else if (byte >= 0x80) {
    takeStatus(state, byte, messages);
  } else if (state.exclusive) {
    takeExclusiveData(state, state.exclusive, byte);
  } else if (state.row) {
    takeData(state, state.row, byte, messages);
  }
  // Else a stray data byte, which belongs to no status: ignored (running status).
}

function takeStatus(state: State, byte: number, messages: Message[]): void {
  // System exclusive: EOX ends it, and so does every other status byte that is not real-time.
  if (state.exclusive) endExclusive(state, state.exclusive, messages);
  // Status bytes: a new status drops a message that was not complete.
  // Running status: kept for channel messages only; a system common status, F0 and F7 among
  // them, clears it, and undefined F4 and F5 are ignored with the data that follows.
  forget(state);
  if (byte === systemExclusiveStatus) {
    state.exclusive = [];
    state.isExclusiveTooLong = false;
    return;
  }
  if (byte === endOfExclusiveStatus) return;
  const row = rowOfStatus(byte);
  if (!row) return;
  if (row.length === 0) {
    messages.push(messageFrom(row, byte, []));
    return;
  }
  state.status = byte;
  state.row = row;
}

function takeData(state: State, row: MessageRow, byte: number, messages: Message[]): void {
  state.data.push(byte);
  if (state.data.length < row.length) return;
  messages.push(messageFrom(row, state.status ?? row.status, state.data));
  state.data.length = 0;
  if (row.category !== 'channel') forget(state);
}

function takeExclusiveData(state: State, exclusive: number[], byte: number): void {
  if (exclusive.length < longestExclusive) exclusive.push(byte);
  else state.isExclusiveTooLong = true;
}

function endExclusive(state: State, exclusive: number[], messages: Message[]): void {
  if (!state.isExclusiveTooLong) messages.push({ type: 'systemExclusive', data: exclusive });
  state.exclusive = undefined;
}

function forget(state: State): void {
  state.status = undefined;
  state.row = undefined;
  state.data.length = 0;
}

type Fields = {
  type: string;
  channel?: number;
  [field: string]: string | number | undefined;
};

function messageFrom(row: MessageRow, status: number, data: readonly number[]): Message {
  if (status <= 0x9f) return noteFrom(status, data[0] ?? 0, data[1] ?? 0);
  const message: Fields = { type: row.type };
  if (row.category === 'channel') message.channel = status & 0x0f;
  let at = 0;
  for (const field of row.fields) {
    const low = data[at] ?? 0;
    message[field.name] = field.bits === 14 ? low | ((data[at + 1] ?? 0) << 7) : low;
    at += field.bits / 7;
  }
  // The table builds what message.ts declares; the compiler cannot follow names held in data, so a
  // test compares both, type by type.
  return message as Message;
}
