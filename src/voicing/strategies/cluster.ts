/**
 * Clusters: voices in seconds, chord tones and available tensions that lie next to each other, with
 * at most one third among the steps; no semitone on top, at least one guide tone, no further than a
 * major sixth from end to end. A diminished seventh takes its seconds from its whole scale, since its
 * own tones are thirds apart. Where the voices asked for are too few for what the symbol names, there
 * may be more of them.
 * That voicings in seconds are a family of their own: T. Pease and K. Pullig, Modern Jazz Voicings
 * (2001), ch. 6 (title read); the numbers: from memory of common practice, no source.
 */

import { partCount } from '../../common/words.ts';
import type { Harmony, Palette } from '../../harmony/chord/palette.ts';
import { has, membersOf, type PitchClassSet, sizeOf } from '../../harmony/pitch/pitch-class-set.ts';
import { overEach, type Upper } from '../bass.ts';
import { foreignTonePrice, scaleOf } from '../chord-scale.ts';
import { lacksEssentials, missingNames } from '../essentials.ts';
import { stackWithin } from '../stack.ts';
import { type Frame, noDoubling, type Strategy } from '../voicing.ts';

const widestSecond = 2;
const widestThird = 4;
const widestSpan = 9;
const mostVoices = 5;
/**
 * Semitones of motion: a third in the cluster; a second semitone in it; a voice more than were asked
 * for; a guide tone or another that the symbol names and has no room.
 */
const prices = { third: 1, secondSemitone: 2, voice: 1, missing: 8 } as const;

type Cluster = {
  /** Semitones above the root, from the lowest voice upwards. */
  readonly stack: readonly number[];
  readonly set: PitchClassSet;
  readonly span: number;
  readonly thirds: number;
  readonly semitones: number;
  /** Semitones between the two top voices. */
  readonly last: number;
};

function raised(lower: Cluster, step: number): Cluster {
  const tone = ((lower.stack.at(-1) ?? 0) + step) % 12;
  return {
    stack: [...lower.stack, tone],
    set: lower.set | (1 << tone),
    span: lower.span + step,
    thirds: lower.thirds + (step > widestSecond ? 1 : 0),
    semitones: lower.semitones + (step === 1 ? 1 : 0),
    last: step,
  };
}

const steps = [1, 2, 3, widestThird] as const;

/** By set of tones and number of voices: few sets serve all roots. */
const known = new Map<number, readonly Cluster[]>();

function clustersOf(tones: PitchClassSet, voices: number): readonly Cluster[] {
  const key = tones * (mostVoices + 1) + voices;
  const found = known.get(key) ?? listClusters(tones, voices);
  known.set(key, found);
  return found;
}

/** Everything of so many voices that is a cluster by definition. */
function listClusters(tones: PitchClassSet, voices: number): Cluster[] {
  let found = membersOf(tones).map(
    (tone): Cluster => ({
      stack: [tone],
      set: 1 << tone,
      span: 0,
      thirds: 0,
      semitones: 0,
      last: 0,
    }),
  );
  for (let voice = 1; voice < voices; voice += 1) {
    found = found.flatMap((lower) =>
      steps
        // Three neighbours in semitones are no chord but a blur.
        .filter((step) => !(step === 1 && lower.last === 1))
        .map((step) => raised(lower, step))
        .filter(
          ({ stack, span, thirds }) =>
            has(tones, stack.at(-1) ?? 0) && span <= widestSpan && thirds <= 1,
        ),
    );
  }
  return found.filter(({ last }) => last !== 1);
}

/** The natural fifth and a flat thirteenth that is no tone of the chord itself blur each other. */
function isBlurred(set: PitchClassSet, { chordTones }: Palette): boolean {
  return has(set, 7) && has(set, 8) && !(has(chordTones, 7) && has(chordTones, 8));
}

function missingFrom(set: PitchClassSet, palette: Palette, bass: number | undefined): number {
  const heard = bass === undefined ? set : set | (1 << bass);
  return sizeOf(palette.guides & ~heard) + missingNames(palette, set, bass);
}

type Rated = { readonly cluster: Cluster; readonly missing: number };

/** Of the number of voices asked for; of more where they tell more of the chord. */
function clustersFor(palette: Palette, voices: number, bass: number | undefined) {
  const tones = scaleOf(palette);
  const found: Rated[] = [];
  let least = Number.POSITIVE_INFINITY;
  for (let count = voices; count <= mostVoices && least > 0; count += 1) {
    const before = least;
    for (const each of clustersOf(tones, count)) {
      const missing = missingFrom(each.set, palette, bass);
      const isUseful = count === voices || missing < before;
      const isCluster = (each.set & palette.guides) !== 0 && !isBlurred(each.set, palette);
      if (!isUseful || !isCluster) continue;
      found.push({ cluster: each, missing });
      least = Math.min(least, missing);
    }
  }
  return { found, least };
}

function uppers(harmony: Harmony, frame: Frame, bass: number | undefined): Upper[] {
  const { palette, chord } = harmony;
  const { found, least } = clustersFor(palette, frame.voices, bass);
  return found.flatMap(({ cluster: { stack, set, thirds, semitones }, missing }): Upper[] => {
    const price =
      thirds * prices.third +
      Math.max(0, semitones - 1) * prices.secondSemitone +
      sizeOf(set & ~palette.universe) * foreignTonePrice +
      (stack.length - frame.voices) * prices.voice +
      missing * prices.missing;
    // What one cluster can tell of the chord is not left out for a smoother line.
    const isIncomplete = missing > least || lacksEssentials(palette, set, bass);
    const label = `${partCount(stack.length)} cluster`;
    return stackWithin(stack, chord.root, frame.upper).map((notes) => ({
      notes,
      price,
      isIncomplete,
      label,
    }));
  });
}

export const cluster: Strategy = {
  id: 'cluster',
  name: 'clusters',
  voices: [3, mostVoices],
  narrowestUpper: 11,
  needsTensions: true,
  isOnRoot: false,
  doubling: noDoubling,
  fallbacks: ['close'],
  members: (harmony, frame) =>
    overEach(harmony, frame, 'cluster', (bass) => uppers(harmony, frame, bass)),
};
