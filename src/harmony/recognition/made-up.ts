/**
 * Names made up for sets no name of the dictionary holds: a triad with the tones beside it, or a
 * cluster called by what it is. Nobody voices these; they pass as played.
 */
import { typeOfDegrees } from '../chord/composed-type.ts';
import { type Degree, neutralDegrees } from '../pitch/degree.ts';
import {
  ascent,
  has,
  membersOf,
  type PitchClassSet,
  relativeTo,
  sizeOf,
} from '../pitch/pitch-class-set.ts';
import type { Reading } from './reading.ts';

/** Score points on the scale of reading-table.ts. */
const weights = {
  bassIsRoot: 3,
  bassIsOther: 0.5,
  /** A whole triad, less what a made-up name costs. */
  triad: 0.1,
  /** Each tone beside it. */
  stray: -0.8,
  cluster: -6,
} as const;

const fifth = 1 << 7;

/** How tones beside a chord are called where that depends on what else sounds. */
function nameBeside(semitones: number, fromRoot: PitchClassSet): Degree {
  const hasFifth = has(fromRoot, 7);
  switch (semitones) {
    case 3:
      return has(fromRoot, 4) ? '#9' : 'b3';
    case 6:
      return hasFifth ? '#11' : 'b5';
    case 8:
      return hasFifth ? 'b13' : '#5';
    case 9:
      return has(fromRoot, 10) || has(fromRoot, 11) ? '13' : '6';
    default:
      return neutralDegrees[semitones] ?? '1';
  }
}

function namesBeside(fromRoot: PitchClassSet): Degree[] {
  return membersOf(fromRoot).map((semitones) => nameBeside(semitones, fromRoot));
}

/** What a triad with tones beside it is worth over this root, or undefined where there is none. */
function composedScore(set: PitchClassSet, root: number): number | undefined {
  const fromRoot = relativeTo(set, root);
  const third = fromRoot & ((1 << 3) | (1 << 4));
  if ((fromRoot & 1) === 0 || third === 0 || (fromRoot & fifth) === 0) return undefined;
  const hasSeventh = has(fromRoot, 10) || has(fromRoot, 11);
  const bass = root === 0 ? weights.bassIsRoot : weights.bassIsOther;
  const strays = sizeOf(fromRoot) - (hasSeventh ? 4 : 3);
  return bass + weights.triad + weights.stray * strays;
}

/** A name made up for a set over a root; the type itself waits until somebody wants to see it. */
function madeUp(
  kind: 'composed' | 'cluster',
  set: PitchClassSet,
  root: number,
  score: number,
): Reading {
  return {
    kind,
    get type() {
      return typeOfDegrees(namesBeside(relativeTo(set, root)));
    },
    rootAboveBass: root,
    bassRole: root === 0 ? 'root' : 'inversion',
    omitted: [],
    isHybrid: false,
    score,
  };
}

/** Made-up names of one set: two are as many as anybody can use. */
const keptComposed = 2;

/** Triads in the set with other tones beside them, best first. */
export function composedReadings(set: PitchClassSet): Reading[] {
  const found: { root: number; score: number }[] = [];
  for (let root = 0; root < 12; root += 1) {
    const score = composedScore(set, root);
    if (score !== undefined) found.push({ root, score });
  }
  return found
    .sort((one, other) => other.score - one.score)
    .slice(0, keptComposed)
    .map(({ root, score }) => madeUp('composed', set, root, score));
}

/** Neighbours all round but for one gap: nothing stands in thirds or fourths here. */
export function isCluster(set: PitchClassSet): boolean {
  const members = membersOf(set);
  const gaps = members.map((member, index) =>
    ascent(member, members[(index + 1) % members.length] ?? 0),
  );
  return members.length >= 3 && gaps.filter((gap) => gap === 0 || gap > 2).length <= 1;
}

/** What the set is over its own bass, where nothing better can be said. */
export function byBass(set: PitchClassSet): Reading {
  return madeUp(isCluster(set) ? 'cluster' : 'composed', set, 0, weights.cluster);
}
