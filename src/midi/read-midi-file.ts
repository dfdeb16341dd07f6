/**
 * Standard MIDI File bytes, read without giving any of them up: what is not looked at can be written
 * back as it stood. The file is walked once to prove that every event is whole; after that a track
 * is read event by event from the bytes themselves, so that a long file costs no more than itself.
 *
 * Source: Standard MIDI Files 1.0 (RP-001). Written here because the usual parsers turn events into
 * values that cannot be turned back (text, lengths, unknown chunks), hand out `undefined` for bytes
 * that are missing, and need some twenty times the file in memory.
 */
import type { Result } from '../common/result.ts';
import { mendTrack } from './mend-track.ts';
import { metaTypes } from './standard-midi-file.ts';
import {
  bytesOf,
  endOfTrackType,
  Fault,
  isEndOfTrack,
  metaStatus,
  newCursor,
  quantityAt,
  step,
} from './track-cursor.ts';

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
  /** What was not right and is put right in `chunks`. */
  readonly mended: Mended;
};

export type Mended = {
  /** Events left out, since a data byte of them is above 127. */
  readonly skipped: number;
  /** Events that relied on a running status which a meta or SysEx event had ended. */
  readonly overdue: number;
  /** It came inside a RIFF file, as some programs write it (RP-029); it is plain now. */
  readonly isUnwrapped: boolean;
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
  /** What is wrong and where, without a full stop. */
  Result<MidiFile>;

const chunkHead = 8;

export function readMidiFile(bytes: Uint8Array): ReadResult {
  try {
    return { ok: true, value: read(bytes) };
  } catch (error) {
    if (error instanceof Fault) return { ok: false, problem: error.message };
    throw error;
  }
}

function read(whole: Uint8Array): MidiFile {
  if (whole.length === 0) throw new Fault('it is empty');
  const bytes = unwrapped(whole);
  if (nameAt(bytes, 0) !== 'MThd') throw new Fault('it does not begin with MThd, as MIDI files do');
  const header = chunkAt(bytes, 0);
  if (header.data.length < 6) throw new Fault('its header is too short');
  const format = bigEndian(header.data, 0, 2);
  if (format !== 0 && format !== 1 && format !== 2) {
    throw new Fault(`its header names the format ${format}, and there are 0, 1 and 2`);
  }
  const count = bigEndian(header.data, 2, 2);
  const chunks: Chunk[] = [];
  const mended = { skipped: 0, overdue: 0, isUnwrapped: bytes !== whole };
  let place = header.whole.length;
  for (let tracks = 0; tracks < count; ) {
    if (place >= bytes.length) {
      throw new Fault(`its header counts ${count} tracks, and it ends after ${tracks}`);
    }
    const chunk = chunkAt(bytes, place);
    if (chunk.isTrack) tracks += 1;
    chunks.push(chunk.isTrack ? checked(chunk, tracks, mended) : chunk);
    place += chunk.whole.length;
  }
  const division = divisionOf(header.data);
  return { format, division, header: header.whole, chunks, rest: bytes.subarray(place), mended };
}

/** The MIDI file inside a RIFF file of the type RMID, whose lengths count from their low byte. */
function unwrapped(bytes: Uint8Array): Uint8Array {
  if (nameAt(bytes, 0) !== 'RIFF' || nameAt(bytes, 8) !== 'RMID') return bytes;
  for (let place = 12; place + chunkHead <= bytes.length; ) {
    const length = bytes
      .slice(place + 4, place + 8)
      .reduceRight((sum, byte) => sum * 256 + byte, 0);
    const start = place + chunkHead;
    if (nameAt(bytes, place) === 'data') return bytes.subarray(start, start + length);
    // "Chunks": each begins at an even byte.
    place = start + length + (length % 2);
  }
  throw new Fault('it is a RIFF file without MIDI data in it');
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

/** The chunk as it stands when all of it is right, else as it should be. */
function checked(
  chunk: Chunk,
  number: number,
  mended: { skipped: number; overdue: number },
): Chunk {
  if (isRight(chunk.data)) return chunk;
  const cursor = newCursor();
  try {
    const { whole, skipped, overdue } = mendTrack(chunk.data, cursor);
    mended.skipped += skipped;
    mended.overdue += overdue;
    return { isTrack: true, whole, data: whole.subarray(chunkHead) };
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    throw new Fault(`track ${number}, byte ${cursor.place}: ${error.message}`);
  }
}

function isRight(data: Uint8Array): boolean {
  const cursor = newCursor();
  try {
    while (cursor.place < data.length) {
      step(data, cursor);
      if (isEndOfTrack(data, cursor)) break;
    }
    return true;
  } catch (error) {
    if (error instanceof Fault) return false;
    throw error;
  }
}

/**
 * The events of a track up to its end of track, which comes last and is made when it is missing.
 * `track` is one that `readMidiFile` has found whole. `isWanted`: by their status; others are
 * stepped over, which is a fraction of the work.
 */
export function* eventsOf(
  { data }: Chunk,
  isWanted: (status: number) => boolean = () => true,
): Generator<TrackEvent, void> {
  const cursor = newCursor();
  while (cursor.place < data.length) {
    step(data, cursor);
    if (isEndOfTrack(data, cursor)) break;
    if (isWanted(cursor.status)) yield { tick: cursor.tick, bytes: bytesOf(data, cursor) };
  }
  yield { tick: cursor.tick, bytes: [metaStatus, endOfTrackType, 0] };
}

/** Those of them that are about the music and sound nothing. */
export function metaEventsOf(track: Chunk): Generator<TrackEvent, void> {
  return eventsOf(track, (status) => status === metaStatus);
}

/** The data of a meta event of this type; undefined for any other event. */
export function metaData(bytes: ArrayLike<number>, type: number): Uint8Array | undefined {
  if (bytes[0] !== metaStatus || bytes[1] !== type || !(bytes instanceof Uint8Array)) {
    return undefined;
  }
  const cursor = { place: 2 };
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
  for (const { bytes } of metaEventsOf(first)) {
    const name = metaText(bytes, metaTypes.trackName);
    if (name !== undefined) return name.replace(/\p{Cc}/gu, ' ').trim();
  }
  return '';
}
