/**
 * From held notes to a chord: the table's readings, then context. `root` and `bass` are kept
 * apart: an inversion under the hand is smoothness, not a new root.
 */
import type { ChordType } from './chord-type.ts';
import type { Key } from './key.ts';
import { type PitchClass, type PitchClassSet, relativeTo, setOfNotes } from './pitch-class-set.ts';
import { isSixth, type Reading, readingsOver } from './reading.ts';
import { chordFunction } from './tension.ts';

/** What besides the notes may decide between readings. */
export type Context = {
  readonly key?: Key;
};

export type Chord = {
  readonly root: PitchClass;
  readonly bass: PitchClass;
  readonly reading: Reading;
  readonly type: ChordType;
};

/** Score points for a chord that belongs to the key; enough to turn a sixth into a seventh. */
const diatonicBonus = 2.2;

/** Score of a reading in its context. */
function scoreInContext(reading: Reading, bass: PitchClass, context: Context): number {
  if (context.key === undefined || reading.isHybrid) return reading.score;
  const root = (bass + reading.rootAboveBass) % 12;
  const role = chordFunction(context.key, root, reading.type);
  const isAtHome = role === 'tonic' || role === 'subdominant' || role === 'dominant';
  // Away from the tonic a sixth chord is the seventh chord of the same notes: IV6 is ii7.
  const isMeant = !isSixth(reading.type) || role === 'tonic';
  return reading.score + (isAtHome && isMeant ? diatonicBonus : 0);
}

/** The best reading of a set over a bass, or undefined when nothing is known. */
export function recogniseSet(
  set: PitchClassSet,
  bass: PitchClass,
  context: Context,
): Reading | undefined {
  const readings = readingsOver(relativeTo(set, bass));
  let best: Reading | undefined;
  let bestScore = Number.NEGATIVE_INFINITY;
  for (const reading of readings) {
    const score = scoreInContext(reading, bass, context);
    if (score > bestScore) {
      best = reading;
      bestScore = score;
    }
  }
  return best;
}

/**
 * The chord of notes given in any order, each 0–127; undefined for fewer than three different
 * pitch classes and for sets nobody has a name for.
 */
export function recognise(notes: readonly number[], context: Context): Chord | undefined {
  const set = setOfNotes(notes);
  const bass = Math.min(...notes) % 12;
  const reading = recogniseSet(set, bass, context);
  if (reading === undefined) return undefined;
  return { root: (bass + reading.rootAboveBass) % 12, bass, reading, type: reading.type };
}
