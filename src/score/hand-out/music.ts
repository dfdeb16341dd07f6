/** What a hand-out plays, and which questions it asks of the ear. */
import { chordId } from '../measure.ts';
import { type Progression, ticksPerQuarter } from '../progression.ts';
import type { HandOutMusic } from './player-page.ts';
import { titleOf, treatmentsOf } from './rows.ts';

/** Without an order of its own it is played as it stands on the page. */
function orderOf({ chords, order }: Progression): readonly (readonly [number, number, number])[] {
  const played = order ?? chords.map(({ tick, length }, chord) => ({ chord, tick, length }));
  return played.map(({ chord, tick, length }) => [
    chord,
    tick / ticksPerQuarter,
    length / ticksPerQuarter,
  ]);
}

export function musicOf(pieces: readonly Progression[]): HandOutMusic {
  return {
    pieces: pieces.map((piece) => ({
      quarter: 60 / piece.tempo,
      treatments: treatmentsOf(piece).map((treatment, part) => ({
        rows: treatment.chords.map(({ notes }) => notes.map(({ note }) => note)),
        marks: treatment.chords.map(({ tick }) => chordId(part, tick)),
        order: orderOf(treatment),
      })),
    })),
  };
}

export type Question = { readonly piece: number; readonly treatment: number };

/** More would be a test. */
const questionsOfPiece = 4;
/** Chords that are played for a question: enough to tell a texture by. */
export const chordsOfQuestion = 8;

/**
 * Which treatment is this? Asked of pieces that stand there in several. The same piece asks the same;
 * the order goes by the letters of its title, so that it is not that of the page.
 */
export function questionsOf(pieces: readonly Progression[]): readonly Question[] {
  return pieces.flatMap((piece, place) => {
    const count = treatmentsOf(piece).length;
    if (count < 2) return [];
    const letters = [...titleOf(piece)].reduce(
      (sum, letter) => sum + (letter.codePointAt(0) ?? 0),
      0,
    );
    let seed = letters + count;
    let last = -1;
    return Array.from({ length: questionsOfPiece }, () => {
      // Numerical Recipes' generator: any would do.
      seed = (seed * 1_664_525 + 1_013_904_223) % 2 ** 32;
      const drawn = Math.floor((seed / 2 ** 32) * count);
      const treatment = drawn === last && count > 2 ? (drawn + 1) % count : drawn;
      last = treatment;
      return { piece: place, treatment };
    });
  });
}
