/**
 * The voices of several chords as lines: time to the right, pitch upwards. Each terminal row holds
 * one, two (half blocks) or four semitones (braille dots), as many as the range asks for.
 */
import { Box } from 'ink';
import { memo } from 'react';
import type { ChordReport } from '../../live/snapshot.ts';
import { At, useLook, Words } from '../frame/words.tsx';
import type { Tone } from '../look.ts';

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
export function rollScale(notes: readonly number[], rows: number): RollScale {
  const top = Math.max(60, ...notes) + 1;
  const range = top - Math.min(60, ...notes) + 1;
  return { semitonesEach: range <= rows ? 1 : range <= 2 * rows ? 2 : 4, top };
}

/** Rows, with the one of the cursor, in which the coarsest scale shows every note of the chords. */
export function rollRowsFor(chords: readonly ChordReport[]): number {
  const notes = chords.flatMap(notesOf);
  const range = Math.max(60, ...notes) + 1 - Math.min(60, ...notes) + 1;
  return Math.ceil(range / 4) + 1;
}

/** The sign for semitones of one row, bit 0 the uppermost. */
export function rollSign(mask: number, semitonesEach: RollScale['semitonesEach']): string {
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

function notesOf(chord: ChordReport | undefined): readonly number[] {
  return chord?.sent.voices.map((voice) => voice.note) ?? [];
}

/** Semitones by row: those that share a row share a sign. */
function masksOf(notes: readonly number[], { top, semitonesEach }: RollScale): Map<number, number> {
  const masks = new Map<number, number>();
  for (const note of notes) {
    const row = Math.floor((top - note) / semitonesEach);
    const bit = 1 << ((top - note) % semitonesEach);
    masks.set(row, (masks.get(row) ?? 0) | bit);
  }
  return masks;
}

type ChordProps = {
  readonly chord: ChordReport;
  readonly next: ChordReport | undefined;
  readonly column: number;
  readonly scale: RollScale;
  readonly rows: number;
  readonly tone: Tone;
};

/** A voice that stays runs on into the next chord. */
const Chord = memo(function Chord({ chord, next, column, scale, rows, tone }: ChordProps) {
  const { hasUnicode } = useLook();
  const notes = notesOf(chord);
  const following = notesOf(next);
  const held = masksOf(
    notes.filter((note) => following.includes(note)),
    scale,
  );
  const sign = (mask: number): string => (hasUnicode ? rollSign(mask, scale.semitonesEach) : '=');
  return (
    <>
      {[...masksOf(notes, scale)]
        .filter(([row]) => row < rows)
        .map(([row, mask]) => {
          const on = held.get(row);
          const text = sign(mask).repeat(rollCell - 1) + (on === undefined ? '' : sign(on));
          return (
            <At key={row} column={column} row={row}>
              <Words tone={tone}>{text}</Words>
            </At>
          );
        })}
    </>
  );
});

export type RollProps = {
  /** Oldest first. */
  readonly chords: readonly ChordReport[];
  /** A place among them; the last line points at it. */
  readonly cursor: number;
  readonly columns: number;
  readonly rows: number;
};

export function Roll({ chords, cursor, columns, rows }: RollProps) {
  const scale = rollScale(chords.flatMap(notesOf), rows - 1);
  const octaves = Array.from({ length: 10 }, (_, octave) => 24 + 12 * octave)
    .map((note) => ({ note, row: Math.floor((scale.top - note) / scale.semitonesEach) }))
    .filter(({ note, row }) => note <= scale.top && row < rows - 1);
  return (
    <Box width={columns} height={rows} flexShrink={0}>
      {octaves.map(({ note, row }) => (
        <At key={note} column={0} row={row} width={columns}>
          <Words tone="quiet">
            {`C${note / 12 - 1}`.padEnd(rollMargin) + '·'.repeat(Math.max(0, columns - rollMargin))}
          </Words>
        </At>
      ))}
      {chords.map((chord, place) => (
        <Chord
          // biome-ignore lint/suspicious/noArrayIndexKey: a chord of the roll is its place.
          key={place}
          chord={chord}
          next={chords[place + 1]}
          column={rollMargin + place * rollCell}
          scale={scale}
          rows={rows - 1}
          tone={place === cursor ? 'sounding' : 'plain'}
        />
      ))}
      <At column={rollMargin + cursor * rollCell + 1} row={rows - 1}>
        <Words tone="strong">▴</Words>
      </At>
    </Box>
  );
}
