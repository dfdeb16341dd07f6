/**
 * Standard MIDI File bytes, read without giving any of them up: what is not looked at can be written
 * back as it stood. The file is walked once to prove that every event is whole; after that a track
 * is read event by event from the bytes themselves, so that a long file costs no more than itself.
 *
 * Source: Standard MIDI Files 1.0 (RP-001). Written here because the usual parsers turn events into
 * values that cannot be turned back (text, lengths, unknown chunks), hand out `undefined` for bytes
 * that are missing, and need some twenty times the file in memory.
 */
import { endOfExclusiveStatus, systemExclusiveStatus } from './specification.ts';
import { metaTypes } from './standard-midi-file.ts';

export type Division =
  | { readonly type: 'metrical'; readonly ticksPerQuarter: number }
  | {
      readonly type: 'time code';
      readonly framesPerSecond: number;
      readonly ticksPerFrame: number;
    };

export type MidiFile = {
  readonly format: 0 | 1 | 2;
  readonly division: Division;
  /** The header chunk as it stood, type and length included. */
  readonly header: Uint8Array;
  /** Everything after the header, in order; tracks and chunks of kinds nobody knows. */
  readonly chunks: readonly Chunk[];
  /** Bytes behind the last chunk that the header counts. */
  readonly rest: Uint8Array;
};

export type Chunk = {
  readonly isTrack: boolean;
  /** Type and length included. */
  readonly whole: Uint8Array;
  /** Without type and length. */
  readonly data: Uint8Array;
};

/** One event of a track, in the form `writeStandardMidiFile` takes. */
export type TrackEvent = {
  /** From the beginning of the track. */
  readonly tick: number;
  /** A whole channel message, its status written out; or a meta or SysEx event with its length. */
  readonly bytes: ArrayLike<number>;
};

export type ReadResult =
  | { readonly ok: true; readonly value: MidiFile }
  /** What is wrong and where, without a full stop. */
  | { readonly ok: false; readonly problem: string };

const chunkHead = 8;
const metaStatus = 0xff;
export const endOfTrackType = 0x2f;

/** A fault of the file; never leaves this room. */
class Fault extends Error {}

export function readMidiFile(bytes: Uint8Array): ReadResult {
  try {
    return { ok: true, value: read(bytes) };
  } catch (error) {
    if (error instanceof Fault) return { ok: false, problem: error.message };
    throw error;
  }
}

function read(bytes: Uint8Array): MidiFile {
  if (nameAt(bytes, 0) !== 'MThd') throw new Fault('it does not begin with MThd, as MIDI files do');
  const header = chunkAt(bytes, 0);
  if (header.data.length < 6) throw new Fault('its header is too short');
  const format = bigEndian(header.data, 0, 2);
  if (format !== 0 && format !== 1 && format !== 2) {
    throw new Fault(`its header names the format ${format}, and there are 0, 1 and 2`);
  }
  const count = bigEndian(header.data, 2, 2);
  const chunks: Chunk[] = [];
  let place = header.whole.length;
  for (let tracks = 0; tracks < count; ) {
    if (place >= bytes.length) {
      throw new Fault(`its header counts ${count} tracks, and it ends after ${tracks}`);
    }
    const chunk = chunkAt(bytes, place);
    if (chunk.isTrack) {
      tracks += 1;
      checkTrack(chunk.data, tracks);
    }
    chunks.push(chunk);
    place += chunk.whole.length;
  }
  const division = divisionOf(header.data);
  return { format, division, header: header.whole, chunks, rest: bytes.subarray(place) };
}

function divisionOf(header: Uint8Array): Division {
  const word = bigEndian(header, 4, 2);
  if (word < 0x8000) {
    if (word === 0) throw new Fault('its header gives a quarter note no ticks');
    return { type: 'metrical', ticksPerQuarter: word };
  }
  const frames = 0x100 - (word >> 8);
  const ticksPerFrame = word & 0xff;
  if (![24, 25, 29, 30].includes(frames) || ticksPerFrame === 0) {
    throw new Fault(
      `its header counts ${frames} frames a second in ${ticksPerFrame} ticks, and there are 24, 25, 29 and 30`,
    );
  }
  // "29" stands for 30 drop-frame, which runs at 30 000/1001 frames a second.
  return {
    type: 'time code',
    framesPerSecond: frames === 29 ? 30_000 / 1001 : frames,
    ticksPerFrame,
  };
}

function chunkAt(bytes: Uint8Array, place: number): Chunk {
  if (place + chunkHead > bytes.length) throw new Fault(`it is cut off at byte ${bytes.length}`);
  const length = bigEndian(bytes, place + 4, 4);
  const end = place + chunkHead + length;
  if (end > bytes.length) {
    const missing = end - bytes.length;
    throw new Fault(`it is cut off at byte ${bytes.length}: ${missing} more were announced`);
  }
  return {
    isTrack: nameAt(bytes, place) === 'MTrk',
    whole: bytes.subarray(place, end),
    data: bytes.subarray(place + chunkHead, end),
  };
}

function nameAt(bytes: Uint8Array, place: number): string {
  return String.fromCharCode(...bytes.subarray(place, place + 4));
}

function bigEndian(bytes: Uint8Array, place: number, length: number): number {
  let value = 0;
  for (let i = 0; i < length; i += 1) value = value * 256 + (bytes[place + i] ?? 0);
  return value;
}

/** Where one event stands: its status, and what follows the delta time from `start` to `end`. */
type Cursor = {
  place: number;
  tick: number;
  /** Running status; 0 for none. */
  running: number;
  status: number;
  /** The first byte after a channel status, or of a meta or SysEx event the status itself. */
  start: number;
};

/** "Variable-length quantity": at most four bytes. */
function quantityAt(data: Uint8Array, cursor: Cursor): number {
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

/** Moves the cursor over one event. */
function step(data: Uint8Array, cursor: Cursor): void {
  cursor.tick += quantityAt(data, cursor);
  const first = data[cursor.place];
  if (first === undefined) throw new Fault('an event is cut off');
  cursor.start = cursor.place;
  if (first >= 0xf0) stepOverSystem(data, cursor, first);
  else stepOverChannel(data, cursor, first);
}

function stepOverSystem(data: Uint8Array, cursor: Cursor, status: number): void {
  const isExclusive = status === systemExclusiveStatus || status === endOfExclusiveStatus;
  if (status !== metaStatus && !isExclusive) {
    throw new Fault(`the status ${status.toString(16).toUpperCase()} has no place in a file`);
  }
  cursor.status = status;
  // "Sysex events and meta-events cancel any running status."
  cursor.running = 0;
  cursor.place += status === metaStatus ? 2 : 1;
  const length = quantityAt(data, cursor);
  cursor.place += length;
  if (cursor.place > data.length) throw new Fault('an event is longer than its track');
}

function stepOverChannel(data: Uint8Array, cursor: Cursor, first: number): void {
  if (first >= 0x80) {
    cursor.running = first;
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
    if (byte > 0x7f) throw new Fault(`the data byte ${byte} is above 127`);
    cursor.place += 1;
  }
}

function newCursor(): Cursor {
  return { place: 0, tick: 0, running: 0, status: 0, start: 0 };
}

function isEndOfTrack(data: Uint8Array, cursor: Cursor): boolean {
  return cursor.status === metaStatus && data[cursor.start + 1] === endOfTrackType;
}

function checkTrack(data: Uint8Array, number: number): void {
  const cursor = newCursor();
  try {
    while (cursor.place < data.length) {
      step(data, cursor);
      if (isEndOfTrack(data, cursor)) return;
    }
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    throw new Fault(`track ${number}, byte ${cursor.place}: ${error.message}`);
  }
}

/**
 * The events of a track up to its end of track, which comes last and is made when it is missing.
 * `track` is one that `readMidiFile` has found whole.
 */
export function* eventsOf(track: Chunk): Generator<TrackEvent, void> {
  const { data } = track;
  const cursor = newCursor();
  while (cursor.place < data.length) {
    step(data, cursor);
    if (isEndOfTrack(data, cursor)) break;
    yield { tick: cursor.tick, bytes: bytesOf(data, cursor) };
  }
  yield { tick: cursor.tick, bytes: [metaStatus, endOfTrackType, 0] };
}

function bytesOf(data: Uint8Array, { status, start, place }: Cursor): ArrayLike<number> {
  if (status >= 0xf0) return data.subarray(start, place);
  const first = data[start] ?? 0;
  return place - start === 1 ? [status, first] : [status, first, data[start + 1] ?? 0];
}

/** The data of a meta event of this type; undefined for any other event. */
export function metaData(bytes: ArrayLike<number>, type: number): Uint8Array | undefined {
  if (bytes[0] !== metaStatus || bytes[1] !== type || !(bytes instanceof Uint8Array)) {
    return undefined;
  }
  const cursor = { ...newCursor(), place: 2 };
  quantityAt(bytes, cursor);
  return bytes.subarray(cursor.place);
}

/**
 * The text of a meta event of this type; undefined for any other event. The format leaves the
 * character set open: what is no UTF-8 is from before it, and mostly Windows' Latin letters.
 */
export function metaText(bytes: ArrayLike<number>, type: number): string | undefined {
  const data = metaData(bytes, type);
  if (data === undefined) return undefined;
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(data);
  } catch {
    return new TextDecoder('windows-1252').decode(data);
  }
}

/** "Sequence/Track Name": on the first track of formats 0 and 1 it names the whole; '' for none. */
export function sequenceName({ chunks }: MidiFile): string {
  const first = chunks.find(({ isTrack }) => isTrack);
  if (first === undefined) return '';
  for (const { bytes } of eventsOf(first)) {
    const name = metaText(bytes, metaTypes.trackName);
    if (name !== undefined) return name.replace(/\p{Cc}/gu, ' ').trim();
  }
  return '';
}
