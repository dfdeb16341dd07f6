/**
 * Polychords: the chord's own triad complete below, another triad complete above it, both to be
 * heard as such: the lower stands in root position, close or open; the upper is close, between a
 * minor third and a fifth above the lower. Only triads whose tones the chord has or may take.
 * Definition: a glossary for a college harmony course, which sorts compound chords into inversions,
 * hybrids and polychords (quoted on filmmusictheory.com, read second-hand); A. Ulanowsky, Harmony 4
 * (1988), has a chapter on compound chord symbols (title read). The distances: common practice, no
 * source. Which triads: computed.
 */
import { withArticle } from '../harmony/article.ts';
import { type ChordType, chordType } from '../harmony/chord-type.ts';
import { spokenDegree } from '../harmony/degree.ts';
import type { Harmony, Palette } from '../harmony/palette.ts';
import { membersOf, type PitchClassSet, sizeOf, transpose } from '../harmony/pitch-class-set.ts';
import { overEach, type Upper } from './bass.ts';
import { lacksEssentials, missingNames } from './essentials.ts';
import { rotations, stackWithin } from './stack.ts';
import type { Frame, Strategy } from './voicing.ts';

const triads = ['major', 'minor', 'augmented', 'diminished'].map(chordType);

const smallestGap = 3;
const largestGap = 7;
/**
 * Semitones of motion: a tone shared with the lower triad; a seventh that is not heard; a tone the
 * symbol names that is not. Our choice, by reading results.
 */
const sharedTonePrice = 2;
const missingGuidePrice = 2;
const namedTonePrice = 8;

type Pair = {
  readonly name: string;
  readonly upper: PitchClassSet;
  readonly price: number;
  readonly isIncomplete: boolean;
};

function lowerTriad(palette: Palette): ChordType | undefined {
  return triads.find((triad) => (triad.tones & ~palette.chordTones) === 0);
}

function pairsFor(palette: Palette, lower: ChordType): Pair[] {
  return triads.flatMap((type) =>
    Array.from({ length: 12 }, (_, above) => above).flatMap((above) => {
      const upper = transpose(type.tones, above);
      const sounding = upper | lower.tones;
      const shared = sizeOf(upper & lower.tones);
      if ((upper & ~palette.universe) !== 0 || shared > 1) return [];
      const missing = sizeOf(palette.guides & ~sounding);
      const on = spokenDegree(palette.degreeAt[above] ?? '1');
      return [
        {
          name: `polychord: ${type.name} on the ${on} above ${withArticle(lower.name)}`,
          upper,
          price:
            shared * sharedTonePrice +
            missing * missingGuidePrice +
            missingNames(palette, sounding, undefined) * namedTonePrice,
          isIncomplete: lacksEssentials(palette, sounding, undefined),
        },
      ];
    }),
  );
}

/** Root position, close (1-3-5) and open (1-5-3). */
function grounds(lower: ChordType, harmony: Harmony, frame: Frame): number[][] {
  const [root = 0, third = 0, fifth = 0] = membersOf(lower.tones);
  return [
    [root, third, fifth],
    [root, fifth, third],
  ].flatMap((order) => stackWithin(order, harmony.chord.root, frame.upper));
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
  voices: [6, 6],
  fallbacks: ['upper-structure', 'spread', 'open', 'close'],
  members: (harmony, frame) => {
    const lower = lowerTriad(harmony.palette);
    if (lower === undefined) return [];
    const below = grounds(lower, harmony, frame);
    const uppers = pairsFor(harmony.palette, lower).flatMap((pair) =>
      uppersOf(pair, below, harmony, frame),
    );
    return overEach(harmony, frame, 'polychord', () => uppers, 'freely');
  },
};
