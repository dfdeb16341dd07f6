/** The bass of chords and the voices above it, told from notes alone. */
import { hasOwnBass } from './own-bass.ts';
import { stackedTriads } from './shape.ts';

/** With this share of chords that have a bass of their own, all that could have one do. */
const basses = { most: 0.6, doubled: 0.6 } as const;
/** A bass above E3 is none; nor is the upper of two in octaves. */
const highestBass = 52;

export type Layout = {
  /** The bass alone, undefined where there is none; of a bass in octaves the note that carries it. */
  readonly bass: number | undefined;
  readonly upper: readonly number[];
  /** How many of the lowest notes are the bass. */
  readonly bassNotes: number;
};

/** Semitones from the upper note of a bass in octaves to the two voices that are all there is above. */
const leastAbove = 7;

/**
 * A triad that stands on the octave of the bass, alone or below another one, has that note as its own.
 */
function isInOctaves(notes: readonly number[]): boolean {
  const [lowest = 0, next = 0, above = 0] = notes;
  const isOctave = next - lowest === 12 && lowest < highestBass - 4;
  const isOfTriad = notes.length === 4 && above - next < leastAbove;
  return isOctave && !isOfTriad && stackedTriads(notes.slice(1)) === undefined;
}

/**
 * Which notes of each chord are its bass, as the whole passage has it.
 * @param grips the notes of each chord, lowest → highest, no pitch twice
 * @param isOfBass whether the lowest note of the chord at that place stands on the part of the bass;
 * absent: there is no such part, and the bass is told by where it lies
 */
export function layoutsOf(
  grips: readonly (readonly number[])[],
  isOfBass?: (place: number) => boolean,
): { readonly layouts: readonly Layout[]; readonly isBassDoubled: boolean } {
  const isOwn = (notes: readonly number[], place: number): boolean =>
    isOfBass === undefined ? hasOwnBass(notes[0] ?? 0, notes.at(-1) ?? 0) : isOfBass(place);
  const owning = grips.filter(isOwn);
  const isWithBass = isOfBass !== undefined || owning.length >= basses.most * grips.length;
  const inOctaves = owning.filter(isInOctaves);
  const isBassDoubled =
    isWithBass && inOctaves.length >= basses.doubled * Math.max(1, owning.length);
  const layouts = grips.map((notes, place): Layout => {
    const [lowest = 0, next = 0] = notes;
    if (!isWithBass || !isOwn(notes, place) || notes.length < 3) {
      return { bass: undefined, upper: notes, bassNotes: 0 };
    }
    if (!isBassDoubled || !isInOctaves(notes)) {
      return { bass: lowest, upper: notes.slice(1), bassNotes: 1 };
    }
    return { bass: next <= highestBass ? next : lowest, upper: notes.slice(2), bassNotes: 2 };
  });
  return { layouts, isBassDoubled };
}
