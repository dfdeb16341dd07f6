/**
 * The table of readings: every set over its bass, readings best first. Each list is made once; a
 * look-up is one array read.
 *
 * Scores add up how well root, bass and completeness fit. Idea and weights are our own, set by hand
 * on the everyday names of chords (common practice, no source); they rank, they do not measure.
 */
import { type ChordType, chordType, chordTypes } from '../chord/chord-type.ts';
import { typeOfDegrees } from '../chord/composed-type.ts';
import { hybrids } from '../chord/hybrid.ts';
import { has, type PitchClassSet, relativeTo, sizeOf } from '../pitch/pitch-class-set.ts';
import { parseSuffix } from '../symbol/symbol-suffix.ts';
import { behindThirds } from './chords-of-thirds.ts';
import { dyadReadings, noteReading } from './dyad.ts';
import { byBass, composedReadings, isCluster } from './made-up.ts';
import { type BassRole, isSixth, omittedFrom, type Reading } from './reading.ts';

/** Weights in score points; the bass terms follow the order root, 3rd, 7th, 5th, foreign. */
const weights = {
  bassIsRoot: 3,
  bassIsThird: 1,
  bassIsSeventh: 0.8,
  bassIsOther: 0.5,
  bassIsForeign: -2.5,
  ownThird: -3,
  hasThirdAndSeventh: 1,
  /** A plain triad is what hands play most. */
  isCompleteTriad: 2.6,
  omittedFifth: -1.4,
  /** Beside an altered ninth and a raised eleventh the fifth is usually left out. */
  omittedFifthOfAltered: -0.7,
  omittedTension: -0.3,
  omittedRoot: -4.5,
  /** A sixth chord not over its root is rather the seventh chord of the same notes. */
  invertedSixth: -1.2,
  /** For each tone beyond the seventh chord: simpler names first. */
  tension: -0.35,
  hybrid: -2.6,
  polychord: -3,
} as const;

/** Readings kept of one set: what is further down is no name anybody would give. */
export const mostReadings = 8;
/** A set with a reading this good needs no name made up for it. */
const wellNamed = 1.5;

const triads = ['major', 'minor', 'diminished', 'augmented'].map(chordType);
const isTriad = chordTypes.map((type) => triads.includes(type));

function bassScore(type: ChordType, bassFromRoot: number): number {
  if (bassFromRoot === 0) return weights.bassIsRoot;
  if (bassFromRoot === 3 || bassFromRoot === 4) return weights.bassIsThird;
  if (type.hasSeventh && bassFromRoot >= 9) return weights.bassIsSeventh;
  return weights.bassIsOther;
}

const fifth = 1 << 7;

function omissionScore(absent: PitchClassSet): number {
  let score = sizeOf(absent) * weights.omittedTension;
  if ((absent & 1) !== 0) score += weights.omittedRoot - weights.omittedTension;
  if ((absent & fifth) !== 0) score += weights.omittedFifth - weights.omittedTension;
  return score;
}

function completenessScore(type: ChordType): number {
  if (isTriad[type.index] === true) return weights.isCompleteTriad;
  return type.guideTones.length > 1 ? weights.hasThirdAndSeventh : 0;
}

const sizes = chordTypes.map((type) => sizeOf(type.tones));

/** A dominant with a flat thirteenth, whose symbol leaves the fifth to those who play it. */
function mayHaveFifth({ degrees, tones }: ChordType): boolean {
  const isDominant = degrees.includes('3') && degrees.includes('b7') && degrees.includes('b13');
  return isDominant && !degrees.includes('#11') && !degrees.includes('b5') && (tones & fifth) === 0;
}

/** Tones that may sound in a chord of this type, by its number. */
const sounding = chordTypes.map((type) => type.tones | (mayHaveFifth(type) ? fifth : 0));

/** Whether a set over this root may be heard as the type. */
function fits(type: ChordType, fromRoot: PitchClassSet, size: number): boolean {
  const others = fromRoot & ~(sounding[type.index] ?? 0);
  if (others !== 0 || (type.required & ~fromRoot) !== 0) return false;
  // A fifth beside a flat thirteenth is one over a root that sounds.
  if ((fromRoot & ~type.tones) !== 0 && (fromRoot & 1) === 0) return false;
  if (type.oneOf.some((choice) => (choice & fromRoot) === 0)) return false;
  // Without the root, only a chord that shows both guide tones is worth naming.
  return (fromRoot & 1) !== 0 || (type.guideTones.length > 1 && size > 2);
}

type Fit = { readonly type: ChordType; readonly score: number };

/** The altered ninth and raised eleventh of a dominant. */
function isAltered({ degrees }: ChordType): boolean {
  return (
    degrees.includes('#11') &&
    degrees.includes('b7') &&
    degrees.includes('3') &&
    (degrees.includes('b9') || degrees.includes('#9'))
  );
}

function fifthOfAltered(type: ChordType, absent: PitchClassSet): number {
  const isSpared = (absent & fifth) !== 0 && isAltered(type);
  return isSpared ? weights.omittedFifthOfAltered - weights.omittedFifth : 0;
}

/** What a chord is worth whatever its bass. */
function ownScore(type: ChordType, fromRoot: PitchClassSet): number {
  return (
    completenessScore(type) +
    omissionScore(type.tones & ~fromRoot) +
    fifthOfAltered(type, type.tones & ~fromRoot) +
    weights.tension * Math.max(0, (sizes[type.index] ?? 0) - 4) -
    type.rarity
  );
}

const fitting: (readonly Fit[] | undefined)[] = new Array(4096).fill(undefined);

/** The types a set may be heard as over a given root: the same for all twelve basses. */
function fittingOver(fromRoot: PitchClassSet, size: number): readonly Fit[] {
  const known = fitting[fromRoot];
  if (known !== undefined) return known;
  const found: Fit[] = [];
  for (const type of chordTypes) {
    if (fits(type, fromRoot, size)) found.push({ type, score: ownScore(type, fromRoot) });
  }
  fitting[fromRoot] = found;
  return found;
}

type Draft = { readonly type: ChordType; readonly root: number; readonly score: number };

/** Puts a draft where it belongs among the best, after its equals. */
function keepBest(drafts: Draft[], draft: Draft): void {
  let place = drafts.length;
  while (place > 0 && (drafts[place - 1]?.score ?? 0) < draft.score) place -= 1;
  drafts.splice(place, 0, draft);
  if (drafts.length > mostReadings) drafts.pop();
}

/** What a type is worth over this bass. */
function placeScore(type: ChordType, bassFromRoot: number): number {
  const sixth = isSixth(type) && bassFromRoot !== 0 ? weights.invertedSixth : 0;
  return bassScore(type, bassFromRoot) + sixth;
}

/** Over its flat thirteenth a dominant with its fifth is a chord of that root. */
function isOverThirteenth({ tones }: ChordType, fromRoot: PitchClassSet, bassFromRoot: number) {
  return bassFromRoot === 8 && (fromRoot & ~tones) !== 0;
}

/** Dictionary chords of this set, best first; of equals the lower root, then the earlier type. */
function chordDrafts(set: PitchClassSet, size: number): Draft[] {
  const found: Draft[] = [];
  let worst = Number.NEGATIVE_INFINITY;
  for (let root = 0; root < 12; root += 1) {
    const bassFromRoot = (12 - root) % 12;
    const fromRoot = relativeTo(set, root);
    for (const { type, score } of fittingOver(fromRoot, size)) {
      if (isOverThirteenth(type, fromRoot, bassFromRoot)) continue;
      const whole = score + placeScore(type, bassFromRoot);
      if (whole <= worst) continue;
      keepBest(found, { type, root, score: whole });
      if (found.length === mostReadings) worst = found[mostReadings - 1]?.score ?? worst;
    }
  }
  return found;
}

function chordReading({ type, root, score }: Draft, set: PitchClassSet): Reading {
  const bassRole: BassRole = root === 0 ? 'root' : 'inversion';
  const omitted = omittedFrom(type, relativeTo(set, root));
  return { kind: 'chord', type, rootAboveBass: root, bassRole, omitted, isHybrid: false, score };
}

const wholeChords = new Map<PitchClassSet, { type: ChordType; root: number }[]>();
for (const type of chordTypes) {
  if (sizeOf(type.tones) < 3 || sizeOf(type.tones) > 4) continue;
  for (let root = 0; root < 12; root += 1) {
    const tones = relativeTo(type.tones, (12 - root) % 12);
    wholeChords.set(tones, [...(wholeChords.get(tones) ?? []), { type, root }]);
  }
}

/** Complete chords over a bass that is none of their tones: 'X/n'. */
function slashReadings(set: PitchClassSet): Reading[] {
  // With the bass's own third above it is an ordinary chord on the bass: C/A is Am7.
  const own = has(set, 3) || has(set, 4) ? weights.ownThird : 0;
  return (wholeChords.get(set & ~1) ?? []).map(({ type, root }) => ({
    kind: 'slash',
    type,
    rootAboveBass: root,
    bassRole: 'foreign',
    omitted: [],
    isHybrid: false,
    score: weights.bassIsForeign + completenessScore(type) + own - type.rarity,
  }));
}

/** What a hybrid without its third stands for, as a chord that has it. */
const meanings = hybrids.map((hybrid) => {
  if (!hybrid.standsFor.includes('(no3')) return undefined;
  const parsed = parseSuffix(hybrid.standsFor.replace(/\(no3.*$/u, ''));
  return parsed.ok ? typeOfDegrees(parsed.value) : undefined;
});

function hybridReadings(set: PitchClassSet): Reading[] {
  const found: Reading[] = [];
  for (const [index, hybrid] of hybrids.entries()) {
    const type = meanings[index];
    if (type === undefined || set !== (hybrid.tones | 1)) continue;
    found.push({
      kind: 'hybrid',
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

const plainTriads = triads.slice(0, 2);

/** Two whole triads, the lower one standing on its root. */
function polychordReadings(set: PitchClassSet): Reading[] {
  const found: Reading[] = [];
  for (const lower of plainTriads) {
    if ((lower.tones & ~set) !== 0) continue;
    for (const upper of plainTriads) {
      for (let above = 1; above < 12; above += 1) {
        const tones = relativeTo(upper.tones, 12 - above);
        if ((tones | lower.tones) !== set || sizeOf(tones & ~lower.tones) < 2) continue;
        found.push({
          kind: 'polychord',
          type: lower,
          rootAboveBass: 0,
          bassRole: 'root',
          omitted: [],
          isHybrid: false,
          upper: { type: upper, above },
          score: weights.bassIsRoot + weights.polychord,
        });
      }
    }
  }
  return found;
}

function descending(one: { readonly score: number }, other: { readonly score: number }): number {
  return other.score - one.score;
}

function readingsOf(set: PitchClassSet): readonly Reading[] {
  const size = sizeOf(set);
  if (size === 1) return [noteReading()];
  if (size === 2) return dyadReadings(set);
  const found = chordDrafts(set, size).map((draft) => chordReading(draft, set));
  if (size <= 5) found.push(...hybridReadings(set), ...slashReadings(set));
  if (size >= 5 && size <= 6) found.push(...polychordReadings(set));
  if ((found[0]?.score ?? 0) < wellNamed) found.push(...composedReadings(set));
  if (found.length === 0 || isCluster(set)) found.push(byBass(set));
  // The sort is stable and every list has a fixed order, so equal scores always rank alike.
  return [...behindThirds(found)].sort(descending).slice(0, mostReadings);
}

const table: (readonly Reading[] | undefined)[] = new Array(4096).fill(undefined);

/**
 * Readings of a set that holds its own bass as bit 0, best first; never empty. Made on first use
 * and kept.
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
