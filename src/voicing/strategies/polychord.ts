/**
 * Polychords: the chord's own triad complete below, another triad complete above it, both to be
 * heard as such: the lower stands in root position, close or open; the upper is close, between a
 * minor third and a fifth above the lower. Only triads whose tones the chord has or may take.
 * Definition: a glossary for a college harmony course, which sorts compound chords into inversions,
 * hybrids and polychords (quoted on filmmusictheory.com, read second-hand); A. Ulanowsky, Harmony 4
 * (1988), has a chapter on compound chord symbols (title read). The distances: common practice, no
 * source. Which triads: computed.
 * A major sixth's upper triad may bring the major seventh for the sixth, a suspended triad's the
 * flat seventh, a dominant's with altered tensions the raised eleventh.
 */

import { withArticle } from '../../common/words.ts';
import { type ChordType, chordType } from '../../harmony/chord/chord-type.ts';
import type { Harmony, Palette } from '../../harmony/chord/palette.ts';
import { spokenDegree } from '../../harmony/pitch/degree.ts';
import {
  membersOf,
  type PitchClassSet,
  sizeOf,
  transpose,
} from '../../harmony/pitch/pitch-class-set.ts';
import { overEach, type Upper } from '../bass.ts';
import { lacksEssentials, missingNames } from '../essentials.ts';
import { rotations, stackWithin } from '../stack.ts';
import type { Frame, Strategy } from '../voicing.ts';

const triads = ['major', 'minor', 'augmented', 'diminished'].map(chordType);

/** What may stand below: a chord without a third has its suspended triad. */
const grounded = [...triads, ...['suspended-fourth', 'suspended-second'].map(chordType)];

const smallestGap = 3;
const largestGap = 7;
/**
 * Semitones of motion: no tone shared with the lower triad, one, two; a major seventh in place of a
 * sixth; a seventh or another tone that the symbol names and that is not heard. Our choice, by
 * reading results.
 */
const sharedPrices = [0, 2, 8] as const;
const substitutePrice = 10;
const missingPrice = 8;

const majorThird = 1 << 4;
const sixth = 1 << 9;
const flatSeventh = 1 << 10;
const majorSeventh = 1 << 11;
/** b9, #9 and b13. */
const altered = (1 << 1) | (1 << 3) | (1 << 8);

type Pair = {
  readonly name: string;
  readonly upper: PitchClassSet;
  readonly price: number;
  readonly isIncomplete: boolean;
};

function lowerTriad(palette: Palette): ChordType | undefined {
  return grounded.find((triad) => (triad.tones & ~palette.chordTones) === 0);
}

/** The tone that the upper triad may bring though the chord has it not, and what it stands for. */
function broughtTo({ guides, type, universe }: Palette): { tone: number; instead: number } {
  if ((guides & sixth) !== 0 && (guides & majorThird) !== 0) {
    return { tone: majorSeventh, instead: sixth };
  }
  const isSuspendedTriad = type.degreeAt.includes('4') && !type.hasSeventh;
  return { tone: isSuspendedTriad ? flatSeventh & ~universe : 0, instead: 0 };
}

/** A raised eleventh, for a dominant that has altered tensions. */
function raisedEleventh({ isDominant, universe }: Palette): PitchClassSet {
  return isDominant && (universe & altered) !== 0 ? 1 << 6 : 0;
}

function pairsFor(palette: Palette, lower: ChordType): Pair[] {
  const brought = broughtTo(palette);
  const allowed = palette.universe | brought.tone | raisedEleventh(palette);
  return triads.flatMap((type) =>
    Array.from({ length: 12 }, (_, above) => above).flatMap((above) => {
      const upper = transpose(type.tones, above);
      const sounding = upper | lower.tones;
      const shared = sizeOf(upper & lower.tones);
      const sharedPrice = sharedPrices[shared];
      if ((upper & ~allowed) !== 0 || sharedPrice === undefined) return [];
      const absent = palette.guides & ~sounding;
      const substituted = (upper & brought.tone) === 0 ? 0 : absent & brought.instead;
      const missing = sizeOf(absent & ~substituted) + missingNames(palette, sounding, undefined);
      const on = spokenDegree(palette.degreeAt[above] ?? '1');
      return [
        {
          name: `polychord: ${type.name} on the ${on} above ${withArticle(lower.name)}`,
          upper,
          price: sharedPrice + sizeOf(substituted) * substitutePrice + missing * missingPrice,
          isIncomplete: lacksEssentials(palette, sounding, undefined),
        },
      ];
    }),
  );
}

/**
 * Root position, close (1-3-5) and open (1-5-3). Over an inversion that is written the bass itself is
 * one tone of the lower triad, and the other two stand above it.
 */
function grounds(
  lower: ChordType,
  harmony: Harmony,
  frame: Frame,
  bass: number | undefined,
): number[][] {
  const [root = 0, third = 0, fifth = 0] = membersOf(lower.tones);
  const isInverted = frame.bass.policy === 'as-played' && (bass === third || bass === fifth);
  const orders = isInverted
    ? rotations([root, bass === third ? fifth : third])
    : [
        [root, third, fifth],
        [root, fifth, third],
      ];
  return orders.flatMap((order) => stackWithin(order, harmony.chord.root, frame.upper));
}

function uppersOf(pair: Pair, below: readonly number[][], harmony: Harmony, frame: Frame): Upper[] {
  const above = rotations(membersOf(pair.upper)).flatMap((order) =>
    stackWithin(order, harmony.chord.root, frame.upper),
  );
  const { name, price, isIncomplete } = pair;
  return below.flatMap((ground) =>
    above
      .filter((triad) => {
        const gap = (triad[0] ?? 0) - (ground.at(-1) ?? 0);
        return gap >= smallestGap && gap <= largestGap;
      })
      .map((triad) => ({ notes: [...ground, ...triad], price, isIncomplete, label: name })),
  );
}

export const polychord: Strategy = {
  id: 'polychord',
  name: 'polychords',
  voices: [6, 6],
  narrowestUpper: 30,
  needsTensions: true,
  isOnRoot: false,
  doubling: { tones: true, leadingTone: 'outside dominants' },
  fallbacks: ['upper-structure', 'spread', 'open', 'close'],
  // Two whole triads are heard as such, and no pair of them is a thirteenth chord.
  keepsShape: true,
  members: (harmony, frame) => {
    const lower = lowerTriad(harmony.palette);
    if (lower === undefined) return [];
    const pairs = pairsFor(harmony.palette, lower);
    const uppersOver = (bass: number | undefined): Upper[] => {
      const below = grounds(lower, harmony, frame, bass);
      return pairs.flatMap((pair) => uppersOf(pair, below, harmony, frame));
    };
    return overEach(harmony, frame, 'polychord', uppersOver, 'freely');
  },
};
