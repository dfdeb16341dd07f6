/**
 * The table of readings: what a set of pitch classes over a bass may be called, best first.
 *
 * A reading does not depend on transposition, so the 4096 sets over 12 basses fold into the 2048
 * sets that hold their own bass (bit 0). Each list is made once; a look-up is one array read.
 * Scores follow one published-in-outline idea (how well root, bass and completeness fit) with
 * engineering weights; they rank, they do not measure.
 */
import { type ChordType, chordType, chordTypes } from './chord-type.ts';
import type { Degree } from './degree.ts';
import { hybrids } from './hybrid.ts';
import { has, type PitchClassSet, relativeTo, sizeOf } from './pitch-class-set.ts';

export type BassRole = 'root' | 'inversion' | 'foreign';

export type Reading = {
  readonly type: ChordType;
  /** Semitones from the bass up to the root, 0–11. */
  readonly rootAboveBass: number;
  readonly bassRole: BassRole;
  /** Tones of the type that do not sound, low to high as the type stacks them. */
  readonly omitted: readonly Degree[];
  /** True for an upper chord over its bass without the third of the chord meant. */
  readonly isHybrid: boolean;
  /** Higher is better. */
  readonly score: number;
};

/** Weights in score points; the bass terms follow the order root, 3rd, 7th, 5th, foreign. */
const weights = {
  bassIsRoot: 3,
  bassIsThird: 1,
  bassIsSeventh: 0.8,
  bassIsOther: 0.5,
  bassIsForeign: -2.5,
  hasThirdAndSeventh: 1,
  /** A plain triad is what hands play most. */
  isCompleteTriad: 2.6,
  omittedFifth: -1.4,
  omittedNinth: -0.3,
  omittedRoot: -4.5,
  /** A sixth chord not over its root is rather the seventh chord of the same notes. */
  invertedSixth: -1.2,
  /** For each tone beyond the seventh chord: simpler names first. */
  tension: -0.35,
  hybrid: -2.6,
} as const;

const triads = ['major', 'minor', 'diminished', 'augmented'].map(chordType);

function bassScore(type: ChordType, bassFromRoot: number): number {
  if (bassFromRoot === 0) return weights.bassIsRoot;
  if (bassFromRoot === 3 || bassFromRoot === 4) return weights.bassIsThird;
  if (type.hasSeventh && bassFromRoot >= 9) return weights.bassIsSeventh;
  return weights.bassIsOther;
}

function omissionScore(omitted: readonly Degree[]): number {
  let score = 0;
  for (const degree of omitted) {
    if (degree === '1') score += weights.omittedRoot;
    else if (degree === '5') score += weights.omittedFifth;
    else score += weights.omittedNinth;
  }
  return score;
}

function completenessScore(type: ChordType): number {
  if (triads.includes(type)) return weights.isCompleteTriad;
  return type.guideTones.length > 1 ? weights.hasThirdAndSeventh : 0;
}

/** Major and minor sixth chords: each is a seventh chord on its own sixth. */
export function isSixth(type: ChordType): boolean {
  return type.id === 'major-sixth' || type.id === 'minor-sixth';
}

function omittedFrom(type: ChordType, fromRoot: PitchClassSet): Degree[] {
  return type.degrees.filter((degree) => {
    const semitones = type.degreeAt.indexOf(degree);
    return !has(fromRoot, semitones);
  });
}

/** The reading of `set` as `type` on that root, or undefined when it does not fit. */
function readAs(type: ChordType, set: PitchClassSet, rootAboveBass: number): Reading | undefined {
  const fromRoot = relativeTo(set, rootAboveBass);
  if ((fromRoot & ~type.tones) !== 0 || (type.required & ~fromRoot) !== 0) return undefined;
  const omitted = omittedFrom(type, fromRoot);
  // A triad without its root or fifth is a dyad with a guess, not a chord.
  if (sizeOf(fromRoot) < 3 && omitted.length > 0) return undefined;
  // Without the root, only a chord that shows both guide tones is worth naming.
  if (omitted.includes('1') && (type.guideTones.length < 2 || sizeOf(fromRoot) < 3))
    return undefined;
  const bassFromRoot = (12 - rootAboveBass) % 12;
  const score =
    bassScore(type, bassFromRoot) +
    completenessScore(type) +
    omissionScore(omitted) +
    weights.tension * Math.max(0, sizeOf(type.tones) - 4) +
    (isSixth(type) && bassFromRoot !== 0 ? weights.invertedSixth : 0) -
    type.rarity;
  const bassRole = bassFromRoot === 0 ? 'root' : 'inversion';
  return { type, rootAboveBass, bassRole, omitted, isHybrid: false, score };
}

/** A complete chord over a bass that is none of its tones: 'X/n'. */
function readOverForeignBass(
  type: ChordType,
  set: PitchClassSet,
  rootAboveBass: number,
): Reading | undefined {
  const upper = relativeTo(set & ~1, rootAboveBass);
  if (upper !== type.tones || sizeOf(upper) < 3) return undefined;
  const score = weights.bassIsForeign + completenessScore(type) - type.rarity;
  return { type, rootAboveBass, bassRole: 'foreign', omitted: [], isHybrid: false, score };
}

/** What a hybrid stands for, where that is a chord of the dictionary without its third. */
const hybridMeanings: Readonly<Record<string, string>> = {
  'maj9(no3)': 'major-ninth',
  'm9(no3)': 'minor-ninth',
  'maj9(#11)(no3)': 'major-ninth-sharp-eleventh',
  'maj13(#11)(no3)': 'major-thirteenth-sharp-eleventh',
  '9(#11)(no3)': 'dominant-ninth-sharp-eleventh',
  '7(b9)(no3)': 'dominant-seventh-flat-ninth',
  '7(b9,#11)(no3)': 'dominant-seventh-flat-ninth-sharp-eleventh',
  '13(b9,#11)(no3)': 'dominant-thirteenth-flat-ninth-sharp-eleventh',
};

function hybridReadings(set: PitchClassSet): Reading[] {
  const found: Reading[] = [];
  for (const hybrid of hybrids) {
    const meaning = hybridMeanings[hybrid.standsFor];
    if (meaning === undefined || set !== (hybrid.tones | 1)) continue;
    const type = chordType(meaning);
    found.push({
      type,
      rootAboveBass: 0,
      bassRole: 'root',
      omitted: omittedFrom(type, set),
      isHybrid: true,
      score: weights.bassIsRoot + weights.hybrid - type.rarity,
    });
  }
  return found;
}

function readingsOf(set: PitchClassSet): Reading[] {
  const found: Reading[] = hybridReadings(set);
  for (const type of chordTypes) {
    for (let root = 0; root < 12; root += 1) {
      const reading = readAs(type, set, root);
      if (reading !== undefined) found.push(reading);
      if (root === 0 || sizeOf(type.tones) > 4) continue;
      const foreign = readOverForeignBass(type, set, root);
      if (foreign !== undefined) found.push(foreign);
    }
  }
  // The sort is stable and the order of types and roots fixed, so equal scores always rank alike.
  return found.sort((one, other) => other.score - one.score);
}

const table: (readonly Reading[] | undefined)[] = new Array(4096).fill(undefined);

/**
 * Readings of a set that holds its own bass as bit 0, best first; empty when nothing is known.
 * Made on first use and kept.
 */
export function readingsOver(relativeSet: PitchClassSet): readonly Reading[] {
  const known = table[relativeSet];
  if (known !== undefined) return known;
  const readings = readingsOf(relativeSet);
  table[relativeSet] = readings;
  return readings;
}

/** Fills the whole table, so that no chord on stage is the first of its kind. */
export function warmReadings(): void {
  for (let set = 1; set < 4096; set += 2) readingsOver(set);
}
