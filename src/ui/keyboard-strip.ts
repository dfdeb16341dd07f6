/**
 * A strip of the keyboard: one column a semitone, marks above for what is played and what sounds.
 * Notes are MIDI note numbers (60 = C4). Every C is named with its octave, over the key beside it.
 */
import type { Snapshot } from '../live/snapshot.ts';
import { createCanvas } from './canvas.ts';
import type { Look, Tone } from './look.ts';
import type { Span } from './text.ts';

const lowestKey = 21;
const highestKey = 108;
const blackKeys: ReadonlySet<number> = new Set([1, 3, 6, 8, 10]);

/** The first key of the strip: as many as fit, with every note in sight if it can be. */
export function stripStart(notes: readonly number[], from: number, columns: number): number {
  const count = highestKey - lowestKey + 1;
  if (columns >= count) return lowestKey;
  const lowest = Math.min(...notes, highestKey);
  const highest = Math.max(...notes, lowestKey);
  const start = Math.floor(Math.min(from, lowest) / 12) * 12;
  const isOutside = highest >= start + columns;
  // Where not all can be in sight, the bass is.
  const shifted = isOutside ? Math.min(lowest, highest - columns + 1) : start;
  return Math.max(lowestKey, Math.min(shifted, highestKey - columns + 1));
}

function marksOf(look: Look) {
  return look.hasUnicode
    ? { both: '◉', sounds: '●', played: '○' }
    : { both: '@', sounds: '*', played: 'o' };
}

/** The key of a note: half a block for a black one; on a C its name, with the octave beside it. */
function keySign(look: Look, note: number): string {
  if (note % 12 === 0) return 'C';
  if (note % 12 === 1) return `${Math.floor(note / 12) - 1}`;
  if (!blackKeys.has(note % 12)) return '_';
  return look.hasUnicode ? '▀' : '#';
}

/** Two lines: marks, keys. */
export function keyboardStrip(
  look: Look,
  { held, sounding, bass }: Snapshot,
  columns: number,
): readonly (readonly Span[])[] {
  const notes = [...held, ...sounding].map((each) => each.note);
  const room = Math.min(columns, highestKey - lowestKey + 1);
  const start = stripStart(notes, bass.lowest, room);
  const indent = Math.floor((columns - room) / 2);
  const canvas = createCanvas(columns, 2);
  const marks = marksOf(look);
  for (let note = start; note < start + room; note++) {
    canvas.put(indent + note - start, 1, keySign(look, note), note % 12 < 2 ? 'plain' : 'quiet');
  }
  const mark = (note: number, sign: string, tone: Tone): void => {
    if (note >= start && note < start + room) canvas.put(indent + note - start, 0, sign, tone);
  };
  const isHeld = new Set(held.map((each) => each.note));
  for (const note of isHeld) mark(note, marks.played, 'plain');
  for (const { note } of sounding) {
    mark(note, isHeld.has(note) ? marks.both : marks.sounds, 'sounding');
  }
  return canvas.lines();
}
