/**
 * Fourth voicings: perfect and augmented fourths, chord tones and available tensions only, no
 * doubling inside the stack, over a chosen bass. Stack and bass together show the third (or what
 * stands for it); a dominant shows its whole tritone. Where fourths alone cannot, as under a
 * half-diminished chord, one of the steps is a third.
 * Rules: T. Pease and K. Pullig, Modern Jazz Voicings (2001), ch. 5 (read in excerpt).
 */

import { partCount } from '../../common/words.ts';
import type { Harmony, Palette } from '../../harmony/chord/palette.ts';
import { triadOf } from '../../harmony/naming/shape.ts';
import { has, membersOf, type PitchClassSet, sizeOf } from '../../harmony/pitch/pitch-class-set.ts';
import { overEach, type Upper } from '../bass.ts';
import { lacksEssentials, missingNames, namedTones } from '../essentials.ts';
import { stackWithin } from '../stack.ts';
import { type Frame, noDoubling, type Strategy } from '../voicing.ts';

/**
 * Semitones of motion a stack counts as that holds one guide tone of two, or none; for each tone that
 * the symbol names and the stack has no room for; and for a third among the fourths. The order is that
 * of the rules above (guide tones shown, thirds only if necessary); the amounts are our choice, by
 * reading results.
 */
const guidePrices = { one: 1, none: 6 } as const;
const namedTonePrice = 8;
/**
 * A third among the fourths; a triad, which a third beside one perfect fourth is; no third of the chord,
 * but for which a stack that has it is moved to, the farther where the bass is doubled in its place;
 * beside a third each augmented fourth after the first.
 */
const prices = { third: 4, triad: 3, thirdless: 5, bare: 10, augmented: 3 } as const;
/**
 * With fewer shapes than these that show the chord, a line of chords would have to jump. A bare triad
 * is content with one: a fourth and a third of its own tones are no fourths but the triad again.
 */
const enoughStacks = { triad: 1, other: 2 } as const;
const thirds: PitchClassSet = (1 << 3) | (1 << 4);

/** Steps a stack is made of, in semitones, and others of which it may hold a few. */
export type Steps = {
  readonly own: readonly number[];
  readonly others: readonly number[];
  readonly mostOthers: number;
};

const fourthsAlone: Steps = { own: [5, 6], others: [], mostOthers: 0 };
const oneThird: Steps = { own: [5, 6], others: [3, 4], mostOthers: 1 };

const kept = new Map<string, readonly (readonly number[])[]>();

/** Stacks of `parts` tones of the palette, each a step above the last, all different; kept. */
export function stacksOf(
  { universe }: Palette,
  parts: number,
  steps: Steps,
): readonly (readonly number[])[] {
  const key = `${universe} ${parts} ${steps.own} ${steps.others} ${steps.mostOthers}`;
  const known = kept.get(key);
  if (known !== undefined) return known;
  const found: number[][] = [];
  const grow = (stack: readonly number[], others: number): void => {
    if (stack.length === parts) {
      found.push([...stack]);
      return;
    }
    const climb = (step: number, count: number): void => {
      const tone = ((stack.at(-1) ?? 0) + step) % 12;
      if (has(universe, tone) && !stack.includes(tone)) grow([...stack, tone], count);
    };
    for (const step of steps.own) climb(step, others);
    if (others < steps.mostOthers) for (const step of steps.others) climb(step, others + 1);
  };
  for (const tone of membersOf(universe)) grow([tone], 0);
  kept.set(key, found);
  return found;
}

/** Fourths with one third among them. */
function stacksWithThird(palette: Palette, parts: number): readonly (readonly number[])[] {
  return stacksOf(palette, parts, oneThird).filter((stack) =>
    stack.some((tone, at) => {
      const below = stack[at - 1];
      return below !== undefined && oneThird.others.includes((tone - below + 12) % 12);
    }),
  );
}

/** A stack that holds the bass tone again is poorer by one tone; as motion, our choice. */
const bassAgainPrice = 2;

/** What a stack lacks in guide tones, as motion. */
export function guidePrice(palette: Palette, sounding: number): number {
  const held = sizeOf(palette.guides & sounding);
  if (held === 0) return guidePrices.none;
  return held < sizeOf(palette.guides) ? guidePrices.one : 0;
}

/** What a member lacks, beside its place. */
type Judged = { readonly price: number; readonly isIncomplete: boolean };

/** Tone templates as upper voices at every octave that fits. */
export function stacked(
  stacks: readonly (readonly number[])[],
  harmony: Harmony,
  frame: Frame,
  bass: number | undefined,
  judge: (sounding: PitchClassSet) => Judged = (sounding) => judged(harmony, sounding, bass),
): Upper[] {
  return stacks.flatMap((stack) => {
    const own = judge(maskOf(stack));
    return stackWithin(stack, harmony.chord.root, frame.upper).map((notes) => ({ notes, ...own }));
  });
}

function maskOf(stack: readonly number[]): PitchClassSet {
  return stack.reduce((mask, tone) => mask | (1 << tone), 0);
}

function judged(
  { palette }: Harmony,
  sounding: PitchClassSet,
  bass: number | undefined,
): { readonly price: number; readonly isIncomplete: boolean } {
  return {
    price: guidePrice(palette, sounding) + missingNames(palette, sounding, bass) * namedTonePrice,
    isIncomplete: lacksEssentials(palette, sounding, bass),
  };
}

/** A minor third with a minor seventh; a major third with a sixth. */
const knownWithoutThird: readonly PitchClassSet[] = [(1 << 3) | (1 << 10), (1 << 4) | (1 << 9)];

/**
 * The third of a chord that is no dominant: a stack may go without it, where the symbol names a
 * minor seventh or a sixth by which the chord is known besides, and nothing more. Without it a minor
 * sixth or major-seventh chord would be heard as one of another quality, a triad as nothing, and a
 * ninth chord as the triad that its upper tones are.
 */
function freeThird(palette: Palette): PitchClassSet {
  const { guides, named, isDominant } = palette;
  if (namedTones(palette) !== 0) return 0;
  const told = guides & named;
  const isKnown = knownWithoutThird.some((tones) => (told & tones) === tones);
  return isKnown && !isDominant ? guides & thirds : 0;
}

/** So many voices may double the bass and have no third, as three fourths on the fifth over the root. */
const mostWithoutThird = 3;

/** The same for pure fourths: without the third they are poorer, and still the chord. */
function judgedFourths(
  harmony: Harmony,
  sounding: PitchClassSet,
  bass: number | undefined,
): Judged {
  const { palette } = harmony;
  const heard = sounding | (bass === undefined ? 0 : 1 << bass);
  const isBassAgain = bass !== undefined && has(sounding, bass);
  const third = freeThird(palette) & ~heard;
  // Of four voices and more one that only doubles the bass has room for the third.
  const isRoomForThird = isBassAgain && sizeOf(sounding) > mostWithoutThird;
  const free = isRoomForThird ? 0 : third;
  const { isIncomplete } = judged(harmony, sounding | free, bass);
  const { price } = judged(harmony, heard, bass);
  const again = isBassAgain ? bassAgainPrice : 0;
  const missed = isBassAgain ? prices.bare : prices.thirdless;
  const thirdless = third === 0 ? 0 : missed;
  return { price: price + again + thirdless, isIncomplete };
}

/** How many of the stacks show all that is wanted over the bass, the leading tone once. */
function countShowing(
  stacks: readonly (readonly number[])[],
  wanted: PitchClassSet,
  { palette }: Harmony,
  bass: number | undefined,
): number {
  const shows = (stack: readonly number[]): boolean => {
    const sounding = maskOf(stack) | (bass === undefined ? 0 : 1 << bass) | freeThird(palette);
    const isLeadingTwice = palette.isDominant && bass === 4 && stack.includes(4);
    const isChord = !lacksEssentials(palette, sounding, undefined);
    return isChord && (wanted & ~sounding) === 0 && !isLeadingTwice;
  };
  return stacks.filter(shows).length;
}

function pureFourths(harmony: Harmony, frame: Frame, bass: number | undefined): Upper[] {
  const stacks = stacksOf(harmony.palette, frame.voices, fourthsAlone);
  const label = `${partCount(frame.voices)} fourths`;
  const judge = (sounding: PitchClassSet): Judged => judgedFourths(harmony, sounding, bass);
  return stacked(stacks, harmony, frame, bass, judge).map((upper) => ({ ...upper, label }));
}

function augmentedFourths(notes: readonly number[]): number {
  return notes.filter((note, index) => note - (notes[index - 1] ?? note) === 6).length;
}

function fourthsWithThird(harmony: Harmony, frame: Frame, bass: number | undefined): Upper[] {
  const stacks = stacksWithThird(harmony.palette, frame.voices);
  const label = 'fourths with a third';
  const judge = (sounding: PitchClassSet): Judged => judgedFourths(harmony, sounding, bass);
  return stacked(stacks, harmony, frame, bass, judge).map((upper) => {
    const tritones = Math.max(0, augmentedFourths(upper.notes) - 1) * prices.augmented;
    const triad = triadOf(upper.notes) === undefined ? 0 : prices.triad;
    return { ...upper, price: upper.price + prices.third + triad + tritones, label };
  });
}

function showsChord(harmony: Harmony, frame: Frame, bass: number | undefined): boolean {
  const { palette } = harmony;
  return stacksOf(palette, frame.voices, fourthsAlone).some(
    (stack) => !lacksEssentials(palette, maskOf(stack), bass),
  );
}

/** True where pure fourths leave a line of chords no choice but to jump, or lose what is written. */
function isThirdNeeded(harmony: Harmony, frame: Frame, bass: number | undefined): boolean {
  const { palette } = harmony;
  const isRootWanted = frame.bass.policy === 'as-played' && bass !== 0;
  const wanted = palette.named | (isRootWanted ? 1 : 0);
  const stacks = stacksOf(palette, frame.voices, fourthsAlone);
  const isTriad = (palette.guides & palette.named & ~thirds) === 0;
  return (
    countShowing(stacks, wanted, harmony, bass) <
    (isTriad ? enoughStacks.triad : enoughStacks.other)
  );
}

export const fourths: Strategy = {
  id: 'fourths',
  name: 'fourths',
  voices: [3, 5],
  narrowestUpper: 14,
  needsTensions: true,
  isOnRoot: false,
  doubling: noDoubling,
  fallbacks: ['spread', 'open', 'close'],
  leavesOut: freeThird,
  members: (harmony, frame) =>
    overEach(harmony, frame, 'fourths', (bass) => [
      ...pureFourths(harmony, frame, bass),
      ...(showsChord(harmony, frame, bass) ? [] : fourthsWithThird(harmony, frame, bass)),
    ]),
  licensed: (harmony, frame) =>
    overEach(harmony, frame, 'fourths', (bass) =>
      showsChord(harmony, frame, bass) && isThirdNeeded(harmony, frame, bass)
        ? fourthsWithThird(harmony, frame, bass)
        : [],
    ),
};
