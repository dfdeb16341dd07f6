/**
 * Fourth voicings: perfect and augmented fourths, chord tones and available tensions only, no
 * doubling inside the stack, over a chosen bass. Stack and bass together show the third (or what
 * stands for it); a dominant shows its whole tritone. Where fourths alone cannot, as under a
 * half-diminished chord, one of the steps is a third.
 * Rules: T. Pease and K. Pullig, Modern Jazz Voicings (2001), ch. 5 (read in excerpt).
 */
import type { Harmony, Palette } from '../harmony/palette.ts';
import { has, membersOf, sizeOf } from '../harmony/pitch-class-set.ts';
import { overEach, type Upper } from './bass.ts';
import { partCount } from './count-words.ts';
import { lacksEssentials, missingNames } from './essentials.ts';
import { stackWithin } from './stack.ts';
import type { Frame, Strategy } from './voicing.ts';

/**
 * Semitones of motion a stack counts as that holds one guide tone of two, or none; for each tone that
 * the symbol names and the stack has no room for; and for a third among the fourths. The order is that
 * of the rules above (guide tones shown, thirds only if necessary); the amounts are our choice, by
 * reading results.
 */
const guidePrices = { one: 1, none: 6 } as const;
const namedTonePrice = 8;
const thirdPrice = 4;
const fourthSteps: readonly number[] = [5, 6];

/** Stacks of `parts` tones of the palette, each one of `steps` above the last, all different. */
export function stacksOf(palette: Palette, parts: number, steps: readonly number[]): number[][] {
  let stacks = membersOf(palette.universe).map((tone) => [tone]);
  for (let part = 1; part < parts; part += 1) {
    stacks = stacks.flatMap((stack) => {
      const top = stack.at(-1) ?? 0;
      return steps
        .map((step) => (top + step) % 12)
        .filter((tone) => has(palette.universe, tone) && !stack.includes(tone))
        .map((tone) => [...stack, tone]);
    });
  }
  return stacks;
}

/** The same with one third among the fourths. */
function stacksWithThird(palette: Palette, parts: number): number[][] {
  return stacksOf(palette, parts, [...fourthSteps, 3, 4]).filter((stack) => {
    const steps = stack.slice(1).map((tone, index) => (tone - (stack[index] ?? 0) + 12) % 12);
    return steps.filter((step) => !fourthSteps.includes(step)).length === 1;
  });
}

/** What a stack lacks in guide tones, as motion. */
export function guidePrice(palette: Palette, sounding: number): number {
  const held = sizeOf(palette.guides & sounding);
  if (held === 0) return guidePrices.none;
  return held < sizeOf(palette.guides) ? guidePrices.one : 0;
}

/** Tone templates as upper voices at every octave that fits. */
export function stacked(
  stacks: readonly (readonly number[])[],
  harmony: Harmony,
  frame: Frame,
  bass: number | undefined,
): Upper[] {
  const { palette, chord } = harmony;
  return stacks.flatMap((stack) => {
    const sounding = stack.reduce((mask, tone) => mask | (1 << tone), 0);
    const isIncomplete = lacksEssentials(palette, sounding, bass);
    const price =
      guidePrice(palette, sounding) + missingNames(palette, sounding, bass) * namedTonePrice;
    return stackWithin(stack, chord.root, frame.upper).map((notes) => ({
      notes,
      price,
      isIncomplete,
    }));
  });
}

function showsChord(palette: Palette, stack: readonly number[], bass: number | undefined): boolean {
  const sounding = stack.reduce((mask, tone) => mask | (1 << tone), 0);
  return !lacksEssentials(palette, sounding, bass);
}

export const fourths: Strategy = {
  id: 'fourths',
  voices: [3, 5],
  fallbacks: ['spread', 'open', 'close'],
  members: (harmony, frame) => {
    const { palette } = harmony;
    const stacks = stacksOf(palette, frame.voices, fourthSteps);
    const label = `${partCount(frame.voices)} fourths`;
    return overEach(harmony, frame, label, (bass) => {
      const pure = stacked(stacks, harmony, frame, bass);
      if (stacks.some((stack) => showsChord(palette, stack, bass))) return pure;
      const withThird = stacked(stacksWithThird(palette, frame.voices), harmony, frame, bass);
      return [
        ...pure,
        ...withThird.map((upper) => ({
          ...upper,
          price: upper.price + thirdPrice,
          label: 'fourths with a third',
        })),
      ];
    });
  },
};
