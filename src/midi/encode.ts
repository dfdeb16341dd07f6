/**
 * One message into its bytes, status always present: system interfaces want whole messages, and
 * running status saves nothing there.
 */
import type { Message, NoteMessage } from './message.ts';
import {
  endOfExclusiveStatus,
  type Field,
  isByte,
  rowOfStatus,
  rowOfType,
  systemExclusiveStatus,
} from './specification.ts';

/**
 * The bytes of one whole message.
 * @throws RangeError when a field is missing or out of range. Nothing is clamped: a wrong number
 * here is a mistake in the program, and a clamped note would never get its note-off.
 */
export function encode(message: Message): number[] {
  if (message.type === 'systemExclusive') return encodeExclusive(message.data);
  if (message.type === 'noteOn' || message.type === 'noteOff') return encodeNote(message);
  const row = rowOfType(message.type);
  if (!row) throw new RangeError(`MIDI 1.0 has no message type "${String(message.type)}"`);
  const values: Readonly<Record<string, unknown>> = message;
  const { channel } = values;
  const bytes = [row.status];
  if (row.category === 'channel') {
    bytes[0] = row.status | inRange(channel, 0, 15, row.type, 'channel');
  }
  for (const field of row.fields) pushField(bytes, field, values[field.name], row.type);
  return bytes;
}

/** As the table has it; by itself because it is nearly all that goes out. */
function encodeNote({ type, channel, note, velocity }: NoteMessage): number[] {
  const isOn = type === 'noteOn';
  const status = (isOn ? 0x90 : 0x80) | inRange(channel, 0, 15, type, 'channel');
  const number = inRange(note, 0, 127, type, 'note');
  return [status, number, inRange(velocity, isOn ? 1 : 0, 127, type, 'velocity')];
}

function pushField(bytes: number[], field: Field, value: unknown, type: string): void {
  const highest = 2 ** field.bits - 1;
  const number = inRange(value, field.lowest, highest, type, field.name);
  bytes.push(number & 0x7f);
  if (field.bits === 14) bytes.push(number >> 7);
}

function encodeExclusive(data: readonly number[]): number[] {
  const bytes = [systemExclusiveStatus];
  for (const byte of data) bytes.push(inRange(byte, 0, 127, 'systemExclusive', 'data'));
  bytes.push(endOfExclusiveStatus);
  return bytes;
}

function inRange(
  value: unknown,
  lowest: number,
  highest: number,
  type: string,
  field: string,
): number {
  if (typeof value === 'number' && Number.isInteger(value) && value >= lowest && value <= highest)
    return value;
  throw new RangeError(
    `${type}.${field} is ${String(value)}; must be an integer ${lowest}–${highest}`,
  );
}

/** True for the bytes of exactly one message as a system interface takes it: status, then data. */
export function isWholeMessage(bytes: ArrayLike<number>): boolean {
  const status = bytes[0];
  if (!isByte(status) || status < 0x80) return false;
  if (status === systemExclusiveStatus) return isWholeExclusive(bytes);
  const row = rowOfStatus(status);
  return row !== undefined && bytes.length === row.length + 1 && areData(bytes, bytes.length);
}

function isWholeExclusive(bytes: ArrayLike<number>): boolean {
  const last = bytes.length - 1;
  return last > 0 && bytes[last] === endOfExclusiveStatus && areData(bytes, last);
}

function areData(bytes: ArrayLike<number>, end: number): boolean {
  for (let index = 1; index < end; index++) {
    const byte: unknown = bytes[index];
    if (!isByte(byte) || byte > 0x7f) return false;
  }
  return true;
}
