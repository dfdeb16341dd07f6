/**
 * Standard MIDI File bytes, format 1, from events that are bytes already. No more than that: what
 * the tracks mean is for their maker to know.
 *
 * Source: Standard MIDI Files 1.0 (RP-001). Written here because a MIDI event in a file is a delta
 * time and the bytes of encode.ts, and because the usual writers copy the whole track for every
 * event: a take of 40,000 events would keep a player waiting for most of a minute.
 */
import { endOfExclusiveStatus, systemExclusiveStatus } from './specification.ts';

/** `bytes` is what follows the delta time: a whole channel message, or the result of `meta`. */
export type FileEvent = {
  /** From the beginning of the track. */
  readonly tick: number;
  readonly bytes: readonly number[];
};

/** Meta events by their type byte. */
export const metaTypes = {
  text: 0x01,
  trackName: 0x03,
  marker: 0x06,
  endOfTrack: 0x2f,
  setTempo: 0x51,
  timeSignature: 0x58,
  keySignature: 0x59,
} as const;

/** The bytes of a meta event: FF, type, length, data. */
export function meta(type: keyof typeof metaTypes, data: readonly number[]): number[] {
  return [0xff, metaTypes[type], ...variableLength(data.length), ...data];
}

/** The bytes of a set tempo event; microseconds per quarter note, 24 bits. */
export function setTempo(microsecondsPerQuarter: number): number[] {
  return meta('setTempo', bigEndian(microsecondsPerQuarter, 3));
}

/** "Time Signature": `unit` is a power of two; a click each beat, 8 thirty-seconds in a quarter. */
export function timeSignature(beats: number, unit: number): number[] {
  return meta('timeSignature', [beats, Math.round(Math.log2(unit)), 96 / unit, 8]);
}

/** "Key Signature": sharps as they are, flats below 0; -7 to 7. */
export function keySignature(sharps: number, isMinor: boolean): number[] {
  return meta('keySignature', [sharps & 0xff, isMinor ? 1 : 0]);
}

/**
 * "Sysex events": the length stands after F0, and counts all that follows it, EOX included.
 * @throws RangeError when `message` is not one whole SysEx.
 */
export function exclusiveEvent(message: readonly number[]): number[] {
  if (message[0] !== systemExclusiveStatus || message.at(-1) !== endOfExclusiveStatus) {
    throw new RangeError('a SysEx begins with F0 and ends with F7');
  }
  const data = message.slice(1);
  return [systemExclusiveStatus, ...variableLength(data.length), ...data];
}

/**
 * The whole file. Events are put in order of their ticks, those of one tick stay as given; every
 * track gets its end of track.
 * @param division ticks per quarter note, 1–32767.
 */
export function writeStandardMidiFile(
  tracks: readonly (readonly FileEvent[])[],
  division: number,
): Uint8Array {
  const header = [...bigEndian(1, 2), ...bigEndian(tracks.length, 2), ...bigEndian(division, 2)];
  const bytes = chunk('MThd', header);
  for (const track of tracks) append(bytes, chunk('MTrk', trackBytes(track)));
  return Uint8Array.from(bytes);
}

function trackBytes(events: readonly FileEvent[]): number[] {
  const bytes: number[] = [];
  let before = 0;
  for (const event of [...events].sort((a, b) => a.tick - b.tick)) {
    append(bytes, variableLength(event.tick - before));
    append(bytes, event.bytes);
    before = event.tick;
  }
  append(bytes, [0, ...meta('endOfTrack', [])]);
  return bytes;
}

function chunk(type: string, data: readonly number[]): number[] {
  const bytes = [...type].map((letter) => letter.charCodeAt(0));
  append(bytes, bigEndian(data.length, 4));
  append(bytes, data);
  return bytes;
}

/** In a loop, since a long track is too much for the arguments of one call. */
function append(bytes: number[], more: readonly number[]): void {
  for (const byte of more) bytes.push(byte);
}

/** The longest quantity the format has: four bytes of seven bits. */
const longestQuantity = 0x0fff_ffff;

/** "Variable-length quantity": seven bits a byte, most significant first, bit 7 set but in the last. */
function variableLength(value: number): number[] {
  let rest = Math.min(value, longestQuantity);
  const bytes = [rest & 0x7f];
  while (rest > 0x7f) {
    rest >>= 7;
    bytes.unshift((rest & 0x7f) | 0x80);
  }
  return bytes;
}

function bigEndian(value: number, length: number): number[] {
  return Array.from({ length }, (_, i) => (value >>> (8 * (length - 1 - i))) & 0xff);
}
