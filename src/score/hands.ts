/**
 * Which notes of a voicing go on which staff: as two hands would play it. The bass is the left
 * hand's and the rest the right's, unless a hand would have to span more than a tenth, play more than
 * five notes, or be written far off its staff; a voicing without bass is shared.
 */
import { lowestOnUpperStaff, type ProgressionNote } from './progression.ts';

export type Hands = {
  readonly right: readonly ProgressionNote[];
  readonly left: readonly ProgressionNote[];
};

/** Semitones of a major tenth: the most a hand is asked for. Common practice, no source. */
const tenth = 16;
const fingers = 5;
/** Read easily on the bass staff from here down. */
const highestLeft = 64;
const unplayable = 100;
/** What it costs to take a note from the right hand when the left has the bass to play. */
const besidesBass = 3;

function handCost(notes: readonly ProgressionNote[]): number {
  const span = (notes.at(-1)?.note ?? 0) - (notes[0]?.note ?? 0);
  return (span > tenth ? unplayable + span : 0) + (notes.length > fingers ? unplayable : 0);
}

function splitCost(left: readonly ProgressionNote[], right: readonly ProgressionNote[]): number {
  const above = left.reduce((sum, { note }) => sum + Math.max(0, note - highestLeft), 0);
  const below = right.reduce((sum, { note }) => sum + Math.max(0, lowestOnUpperStaff - note), 0);
  const share =
    left[0]?.part === 'bass'
      ? (left.length - 1) * besidesBass
      : Math.abs(right.length - left.length);
  return above + below + share + handCost(left) + handCost(right);
}

/** Of equal splits the one that leaves more to the right hand. */
export function handsOf(notes: readonly ProgressionNote[]): Hands {
  const first = notes[0]?.part === 'bass' ? 1 : 0;
  let best: Hands = { left: notes.slice(0, first), right: notes.slice(first) };
  let least = Number.POSITIVE_INFINITY;
  for (let split = first; split <= notes.length; split += 1) {
    const left = notes.slice(0, split);
    const right = notes.slice(split);
    const cost = splitCost(left, right);
    if (cost < least) {
      least = cost;
      best = { left, right };
    }
  }
  return best;
}
