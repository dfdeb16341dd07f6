/**
 * One or two pitch classes: too few for a chord, enough for a guess that a key may turn. A fifth is
 * a root and its fifth; a third a root and its third, or the upper two tones of a triad; a tritone
 * the third and seventh of either of two dominants; a seventh or second a root and its seventh.
 * Common practice, no source.
 */
import { chordType } from '../chord/chord-type.ts';
import { typeOfDegrees } from '../chord/composed-type.ts';
import { membersOf, type PitchClassSet, relativeTo } from '../pitch/pitch-class-set.ts';
import { omittedFrom, type Reading } from './reading.ts';

type Guess = { readonly id: string; readonly above: number; readonly score: number };

/** By semitones above the bass; the everyday guess first. `above`: from the bass up to the root. */
const guesses: Readonly<Record<number, readonly Guess[]>> = {
  1: [{ id: 'major-seventh', above: 1, score: -1 }],
  2: [
    { id: 'dominant-seventh', above: 2, score: -1 },
    { id: 'suspended-second', above: 0, score: -1.5 },
  ],
  3: [
    { id: 'minor', above: 0, score: 1 },
    { id: 'major', above: 8, score: 0.5 },
    { id: 'diminished', above: 0, score: -1 },
  ],
  4: [
    { id: 'major', above: 0, score: 1 },
    { id: 'minor', above: 9, score: 0.5 },
  ],
  5: [
    { id: 'power', above: 5, score: 1.5 },
    { id: 'suspended-fourth', above: 0, score: -1 },
  ],
  6: [
    { id: 'dominant-seventh', above: 8, score: 0 },
    { id: 'dominant-seventh', above: 2, score: -0.2 },
    { id: 'diminished', above: 0, score: -0.5 },
  ],
  7: [{ id: 'power', above: 0, score: 2 }],
  8: [
    { id: 'major', above: 8, score: 1 },
    { id: 'minor', above: 5, score: 0.5 },
  ],
  9: [
    { id: 'minor', above: 9, score: 1 },
    { id: 'major', above: 5, score: 0.5 },
    { id: 'major-sixth', above: 0, score: 0 },
  ],
  10: [
    { id: 'dominant-seventh', above: 0, score: 0.5 },
    { id: 'minor-seventh', above: 0, score: 0.3 },
  ],
  11: [{ id: 'major-seventh', above: 0, score: 1 }],
};

/** Readings of two pitch classes, the bass as bit 0, best first. */
export function dyadReadings(set: PitchClassSet): Reading[] {
  const upper = membersOf(set).at(-1) ?? 0;
  return (guesses[upper] ?? []).map(({ id, above, score }) => {
    const type = chordType(id);
    return {
      kind: 'dyad',
      type,
      rootAboveBass: above,
      bassRole: above === 0 ? 'root' : 'inversion',
      omitted: omittedFrom(type, relativeTo(set, above)),
      isHybrid: false,
      score,
    };
  });
}

export function noteReading(): Reading {
  return {
    kind: 'note',
    type: typeOfDegrees(['1']),
    rootAboveBass: 0,
    bassRole: 'root',
    omitted: [],
    isHybrid: false,
    score: 0,
  };
}
