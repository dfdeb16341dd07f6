/**
 * The keyboard: marks for what is played and what sounds, over keys one or two columns wide. Notes
 * are MIDI note numbers (60 = C4). Every C is named with its octave.
 */
import { Box } from 'ink';
import { memo } from 'react';
import type { NamedNote } from '../../live/snapshot.ts';
import { sameContent } from '../frame/same-content.ts';
import { type Sign, SignRows } from '../frame/sign-rows.tsx';
import { music } from '../frame/words.tsx';
import type { Tone } from '../look.ts';

const lowestKey = 21;
const highestKey = 108;
const blackKeys: ReadonlySet<number> = new Set([1, 3, 6, 8, 10]);

/** The first key: as many as fit, with every note in sight if it can be. */
export function stripStart(notes: readonly number[], from: number, keys: number): number {
  const count = highestKey - lowestKey + 1;
  if (keys >= count) return lowestKey;
  const lowest = Math.min(...notes, highestKey);
  const highest = Math.max(...notes, lowestKey);
  const start = Math.floor(Math.min(from, lowest) / 12) * 12;
  const isOutside = highest >= start + keys;
  // Where not all can be in sight, the bass is.
  const shifted = isOutside ? Math.min(lowest, highest - keys + 1) : start;
  return Math.max(lowestKey, Math.min(shifted, highestKey - keys + 1));
}

export type KeyboardProps = {
  readonly held: readonly NamedNote[];
  readonly sounding: readonly NamedNote[];
  /** The key the strip begins at, at the latest. */
  readonly from: number;
  readonly columns: number;
  /** 2: marks and keys; 3: black keys over white; 4: the names of what sounds above them. */
  readonly rows: number;
};

export const Keyboard = memo(function Keyboard(props: KeyboardProps) {
  const { held, sounding, from, columns, rows } = props;
  const count = highestKey - lowestKey + 1;
  const wide = columns >= 2 * count ? 2 : 1;
  const room = Math.min(Math.floor(columns / wide), count);
  const start = stripStart(
    [...held, ...sounding].map((each) => each.note),
    from,
    room,
  );
  const notes = Array.from({ length: room }, (_, place) => start + place);
  const isHeld = new Set(held.map((each) => each.note));
  const names = new Map(sounding.map(({ note, name }) => [note, name.replace(/-?\d+$/, '')]));
  const cell = (text: string, tone: Tone): Sign => ({
    text: text.padEnd(wide).slice(0, wide),
    tone,
  });
  const isBlack = (note: number) => blackKeys.has(note % 12);

  const marks = notes.map((note) => {
    if (!names.has(note)) return cell(isHeld.has(note) ? '○' : ' ', 'plain');
    return cell(isHeld.has(note) ? '◉' : '●', 'sounding');
  });
  const named = notes.map((note) => cell(music(names.get(note) ?? ''), 'sounding'));
  const black = notes.map((note) => cell((isBlack(note) ? '█' : ' ').repeat(wide), 'quiet'));
  // A C has its octave on the key beside it where a key is one column.
  const white = notes.map((note): Sign => {
    const octave = `${Math.floor(note / 12) - 1}`;
    if (note % 12 === 0) return cell(wide === 2 ? `C${octave}` : 'C', 'plain');
    if (wide === 1 && note % 12 === 1) return cell(octave, 'plain');
    const isUnder = rows > 2 || !isBlack(note);
    return cell((isUnder ? '_' : '▀').repeat(wide), 'quiet');
  });
  const shown =
    rows >= 4 ? [named, marks, black, white] : rows === 3 ? [marks, black, white] : [marks, white];
  return (
    <Box flexDirection="column" alignItems="center" width={columns} height={rows} flexShrink={0}>
      <SignRows rows={shown} />
    </Box>
  );
}, sameContent);
