/**
 * Chord symbols as values: what 'F#m7(b5)/E' says. A root and a bass as they are spelled, and the
 * chord type between them. A polychord ('D\C') is the upper chord with its lower chord.
 */
import type { ChordType } from '../chord/chord-type.ts';
import { type PitchClassSet, transpose } from '../pitch/pitch-class-set.ts';
import { pitchClassOfSpelled, type SpelledPitchClass } from '../pitch/pitch-name.ts';

export type ChordSymbol = {
  readonly root: SpelledPitchClass;
  readonly type: ChordType;
  /** Absent: the root is the bass. */
  readonly bass?: SpelledPitchClass;
  /** The complete chord beneath, of a polychord. */
  readonly lower?: ChordSymbol;
};

/** Everything the symbol sounds, its bass with it (bit 0 = C). */
export function soundOf(symbol: ChordSymbol): PitchClassSet {
  const upper = transpose(symbol.type.tones, pitchClassOfSpelled(symbol.root));
  const bass = symbol.bass === undefined ? 0 : 1 << pitchClassOfSpelled(symbol.bass);
  return upper | bass | (symbol.lower === undefined ? 0 : soundOf(symbol.lower));
}

/** The pitch class that lies lowest, 0 = C. */
export function bassOf(symbol: ChordSymbol): number {
  if (symbol.lower !== undefined) return bassOf(symbol.lower);
  return pitchClassOfSpelled(symbol.bass ?? symbol.root);
}
