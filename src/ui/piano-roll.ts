/**
 * The voices of several chords as lines: time to the right, pitch upwards. Each terminal row holds
 * one, two (half blocks) or four semitones (braille dots), as many as the range asks for.
 */
import type { ChordReport } from '../live/snapshot.ts';
import { type Canvas, createCanvas } from './canvas.ts';
import type { Look, Tone } from './look.ts';
import type { Span } from './text.ts';

/** Columns of one chord. */
export const rollCell = 4;
/** Columns left of the first chord, for the octaves. */
export const rollMargin = 4;

export type RollScale = {
  readonly semitonesEach: 1 | 2 | 4;
  /** MIDI note number of the uppermost semitone. */
  readonly top: number;
};

/** The finest scale that holds the notes in `rows`; notes beyond the coarsest are lost below. */
export function rollScale(notes: readonly number[], rows: number, look: Look): RollScale {
  const top = Math.max(60, ...notes) + 1;
  const range = top - Math.min(60, ...notes) + 1;
  if (range <= rows || !look.hasUnicode) {
    const each = range <= rows ? 1 : range <= 2 * rows ? 2 : 4;
    return { semitonesEach: each, top };
  }
  return { semitonesEach: range <= 2 * rows ? 2 : 4, top };
}

/** Rows, with the one of the cursor, in which the coarsest scale shows every note of the chords. */
export function rollRowsFor(chords: readonly ChordReport[]): number {
  const notes = chords.flatMap(notesOf);
  const range = Math.max(60, ...notes) + 1 - Math.min(60, ...notes) + 1;
  return Math.ceil(range / 4) + 1;
}

/** The sign for semitones of one row, bit 0 the uppermost. */
export function rollSign(
  look: Look,
  mask: number,
  semitonesEach: RollScale['semitonesEach'],
): string {
  if (!look.hasUnicode) return '=';
  if (semitonesEach === 1) return '━';
  if (semitonesEach === 2) return ['', '▀', '▄', '█'][mask] ?? '█';
  // Unicode braille patterns: dots 1 2 3 7 are the left column from the top, 4 5 6 8 the right.
  const left = [0x01, 0x02, 0x04, 0x40];
  const right = [0x08, 0x10, 0x20, 0x80];
  const dots = [0, 1, 2, 3].reduce(
    (sum, bit) => sum + (mask & (1 << bit) ? (left[bit] ?? 0) + (right[bit] ?? 0) : 0),
    0,
  );
  return String.fromCodePoint(0x2800 + dots);
}

type Plan = {
  readonly canvas: Canvas;
  readonly look: Look;
  readonly scale: RollScale;
  readonly rows: number;
};

function rowOf({ scale }: Plan, note: number): number {
  return Math.floor((scale.top - note) / scale.semitonesEach);
}

function drawOctaves(plan: Plan, columns: number): void {
  const { canvas, look, scale, rows } = plan;
  for (let note = 24; note <= scale.top; note += 12) {
    const row = rowOf(plan, note);
    if (row >= rows) continue;
    canvas.put(0, row, `C${note / 12 - 1}`, 'quiet');
    canvas.put(rollMargin, row, (look.hasUnicode ? '·' : '.').repeat(columns), 'quiet');
  }
}

/** Notes as signs in one stretch of columns; those that share a row share a sign. */
function drawNotes(
  plan: Plan,
  notes: readonly number[],
  at: number,
  columns: number,
  tone: Tone,
): void {
  const { canvas, look, scale, rows } = plan;
  const masks = new Map<number, number>();
  for (const note of notes) {
    const row = rowOf(plan, note);
    const bit = 1 << ((scale.top - note) % scale.semitonesEach);
    if (row < rows) masks.set(row, (masks.get(row) ?? 0) | bit);
  }
  for (const [row, mask] of masks) {
    canvas.put(at, row, rollSign(look, mask, scale.semitonesEach).repeat(columns), tone);
  }
}

function notesOf(chord: ChordReport | undefined): readonly number[] {
  return chord?.sent.voices.map((voice) => voice.note) ?? [];
}

/** `chords` oldest first; `cursor` is a place among them. The last line points at the cursor. */
export function pianoRoll(
  look: Look,
  chords: readonly ChordReport[],
  cursor: number,
  columns: number,
  rows: number,
): readonly (readonly Span[])[] {
  const canvas = createCanvas(columns, rows);
  const scale = rollScale(chords.flatMap(notesOf), rows - 1, look);
  const plan: Plan = { canvas, look, scale, rows: rows - 1 };
  drawOctaves(plan, columns);
  chords.forEach((chord, place) => {
    const at = rollMargin + place * rollCell;
    const tone = place === cursor ? 'sounding' : 'plain';
    const notes = notesOf(chord);
    const next = notesOf(chords[place + 1]);
    drawNotes(plan, notes, at, rollCell - 1, tone);
    // A voice that stays runs on into the next chord.
    const held = notes.filter((note) => next.includes(note));
    drawNotes(plan, held, at + rollCell - 1, 1, tone);
  });
  const pointer = look.hasUnicode ? '▴' : '^';
  canvas.put(rollMargin + cursor * rollCell + 1, rows - 1, pointer, 'strong');
  return canvas.lines();
}
