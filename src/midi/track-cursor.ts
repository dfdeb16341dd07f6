/**
 * A place in the bytes of a track, moved on event by event.
 *
 * Source: Standard MIDI Files 1.0 (RP-001), "MTrk event".
 */
import { endOfExclusiveStatus, systemExclusiveStatus } from './specification.ts';

export const metaStatus = 0xff;
export const endOfTrackType = 0x2f;

/** A fault of the file; never leaves this room. */
export class Fault extends Error {}

/** Where one event stands: its status, and what follows the delta time from `start` to `place`. */
export type Cursor = {
  place: number;
  tick: number;
  /** Running status; 0 for none. */
  running: number;
  status: number;
  /** The first byte after a channel status, or of a meta or SysEx event the status itself. */
  start: number;
  /** With `isLenient`: a data byte of this event is above 127. */
  isSpoilt: boolean;
  /** With `isLenient`: the running status had ended at a meta or SysEx event, and was used. */
  isOverdue: boolean;
};

export function newCursor(): Cursor {
  const at = { place: 0, tick: 0, running: 0, status: 0, start: 0 };
  return { ...at, isSpoilt: false, isOverdue: false };
}

/** "Variable-length quantity": at most four bytes. */
export function quantityAt(data: Uint8Array, cursor: Pick<Cursor, 'place'>): number {
  let value = 0;
  for (let length = 1; length <= 4; length += 1) {
    const byte = data[cursor.place];
    if (byte === undefined) throw new Fault('an event is cut off');
    cursor.place += 1;
    value = value * 128 + (byte & 0x7f);
    if (byte < 0x80) return value;
  }
  throw new Fault('a length has more than four bytes');
}

/**
 * Moves the cursor over one event. `isLenient` goes on where the length of an event is sure though
 * the event is not right.
 * @throws Fault when the bytes are no event.
 */
export function step(data: Uint8Array, cursor: Cursor, isLenient = false): void {
  cursor.tick += quantityAt(data, cursor);
  const first = data[cursor.place];
  if (first === undefined) throw new Fault('an event is cut off');
  cursor.start = cursor.place;
  cursor.isSpoilt = false;
  if (first >= 0xf0) stepOverSystem(data, cursor, first, isLenient);
  else stepOverChannel(data, cursor, first, isLenient);
}

function stepOverSystem(
  data: Uint8Array,
  cursor: Cursor,
  status: number,
  isLenient: boolean,
): void {
  const isExclusive = status === systemExclusiveStatus || status === endOfExclusiveStatus;
  if (status !== metaStatus && !isExclusive) {
    throw new Fault(`the status ${status.toString(16).toUpperCase()} has no place in a file`);
  }
  cursor.status = status;
  // "Sysex events and meta-events cancel any running status."
  if (isLenient) cursor.isOverdue = true;
  else cursor.running = 0;
  cursor.place += status === metaStatus ? 2 : 1;
  const length = quantityAt(data, cursor);
  cursor.place += length;
  if (cursor.place > data.length) throw new Fault('an event is longer than its track');
}

function stepOverChannel(
  data: Uint8Array,
  cursor: Cursor,
  first: number,
  isLenient: boolean,
): void {
  if (first >= 0x80) {
    cursor.running = first;
    cursor.isOverdue = false;
    cursor.place += 1;
    cursor.start = cursor.place;
  }
  const status = cursor.running;
  if (status === 0) throw new Fault('an event has no status');
  cursor.status = status;
  const length = (status & 0xe0) === 0xc0 ? 1 : 2;
  for (let i = 0; i < length; i += 1) {
    const byte = data[cursor.place];
    if (byte === undefined) throw new Fault('an event is cut off');
    if (byte > 0x7f) {
      if (!isLenient) throw new Fault(`the data byte ${byte} is above 127`);
      cursor.isSpoilt = true;
    }
    cursor.place += 1;
  }
}

export function isEndOfTrack(data: Uint8Array, cursor: Cursor): boolean {
  return cursor.status === metaStatus && data[cursor.start + 1] === endOfTrackType;
}

/** What follows the delta time, a running status written out. */
export function bytesOf(data: Uint8Array, { status, start, place }: Cursor): ArrayLike<number> {
  if (status >= 0xf0) return data.subarray(start, place);
  const first = data[start] ?? 0;
  return place - start === 1 ? [status, first] : [status, first, data[start + 1] ?? 0];
}
