/**
 * What a set of pitch classes over a bass may be called, as values. A reading does not depend on
 * transposition, so the 4096 sets over 12 basses fold into the 2048 sets that hold their own bass
 * (bit 0). The table of them is reading-table.ts.
 */
import type { ChordType } from '../chord/chord-type.ts';
import type { Degree } from '../pitch/degree.ts';
import { has, type PitchClassSet } from '../pitch/pitch-class-set.ts';

export type BassRole = 'root' | 'inversion' | 'foreign';

/**
 * chord: a chord of the dictionary, whole or with tones left out; slash: a whole chord over a bass
 * that is none of its tones; hybrid: the same, read as what both stand for; polychord: two whole
 * triads; dyad, note: one or two pitch classes, guessed at; composed: a triad or seventh chord with
 * tones no name of the dictionary holds; cluster: neighbours, named only by what they are.
 */
export type ReadingKind =
  | 'chord'
  | 'slash'
  | 'hybrid'
  | 'polychord'
  | 'dyad'
  | 'note'
  | 'composed'
  | 'cluster';

export type Reading = {
  readonly kind: ReadingKind;
  readonly type: ChordType;
  /** Semitones from the bass up to the root, 0–11. */
  readonly rootAboveBass: number;
  readonly bassRole: BassRole;
  /** Tones of the type that do not sound, low to high as the type stacks them. */
  readonly omitted: readonly Degree[];
  /** True for an upper chord over its bass without the third of the chord meant. */
  readonly isHybrid: boolean;
  /** Of a polychord, the upper chord; its root in semitones above the bass. */
  readonly upper?: { readonly type: ChordType; readonly above: number };
  /** Higher is better. */
  readonly score: number;
  /** What of the score it lost to a whole chord of thirds in the same notes. */
  readonly behind?: number;
};

/** Readings that may be voiced: the others are names for what passes as played. */
export function isVoiceable(reading: Reading): boolean {
  return reading.kind === 'chord' || reading.kind === 'slash' || reading.kind === 'hybrid';
}

/** Major and minor sixth chords: each is a seventh chord on its own sixth. */
export function isSixth(type: ChordType): boolean {
  return type.id === 'major-sixth' || type.id === 'minor-sixth';
}

export function omittedFrom(type: ChordType, fromRoot: PitchClassSet): Degree[] {
  return type.degrees.filter((degree) => !has(fromRoot, type.degreeAt.indexOf(degree)));
}
