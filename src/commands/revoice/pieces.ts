/** What of a MIDI file is voiced by itself: the whole, or each pattern of a file of patterns. */

import { counted } from '../../common/words.ts';
import { numberedPath } from '../../io/files/output-file.ts';
import { patternsOf } from '../../midi/patterns.ts';
import type { MidiFile } from '../../midi/read-midi-file.ts';
import type { PartWish } from '../../revoice/harmony-parts.ts';

export type Piece = {
  readonly file: MidiFile;
  readonly wish: PartWish;
  /** Where it goes. */
  readonly path: string;
  /** What to call it, when the file is called this. */
  readonly name: (file: string) => string;
};

/** In a file of patterns the wished tracks are the patterns; none when there are no such. */
export function piecesOf(file: MidiFile, wish: PartWish, out: string): readonly Piece[] {
  if (file.format !== 2) return [{ file, wish, path: out, name: (name) => name }];
  const { tracks, ...others } = wish;
  const wished = patternsOf(file)
    .map((pattern, place) => ({ pattern, number: place + 1 }))
    .filter(({ number }) => tracks?.includes(number) ?? true);
  return wished.map(({ pattern, number }) => ({
    file: pattern,
    wish: others,
    path: wished.length === 1 ? out : numberedPath(out, number),
    name: (name) => `Pattern ${number} of ${name}`,
  }));
}

/** What is wrong, to stand behind the file's name. */
export function piecesProblem(
  file: MidiFile,
  pieces: readonly Piece[],
  isScoreWanted: boolean,
): string | undefined {
  const count = counted(file.chunks.filter(({ isTrack }) => isTrack).length, 'track');
  if (pieces.length === 0) return `has ${count}, and none of those that were named.`;
  if (pieces.length === 1 || !isScoreWanted) return undefined;
  return `has ${count} that are pieces of their own (format 2): name one with --track for its score.`;
}
