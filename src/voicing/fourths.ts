/**
 * Fourth voicings: perfect and augmented fourths, chord tones and available tensions only, no
 * doubling inside the stack, over a chosen bass. Stack and bass together show the third (or what
 * stands for it); a dominant shows its whole tritone.
 * Rules: T. Pease and K. Pullig, Modern Jazz Voicings (2001), ch. 5 (read in excerpt).
 */
import type { Harmony, Palette } from '../harmony/palette.ts';
import { has, membersOf } from '../harmony/pitch-class-set.ts';
import { bassInterval, overBass, overBasses, type Upper } from './bass.ts';
import { stackWithin } from './stack.ts';
import type { Frame, Strategy } from './voicing.ts';

const countWords = ['', '', 'two', 'three', 'four', 'five', 'six'] as const;

/** Semitones of motion a stack without any guide tone counts as. */
const noGuidePrice = 6;

/** Stacks of `voices` tones, each a perfect or augmented fourth above the last, all different. */
function stacksOf(palette: Palette, voices: number): number[][] {
  let stacks = membersOf(palette.universe).map((tone) => [tone]);
  for (let voice = 1; voice < voices; voice += 1) {
    stacks = stacks.flatMap((stack) => {
      const top = stack.at(-1) ?? 0;
      return [5, 6]
        .map((fourth) => (top + fourth) % 12)
        .filter((tone) => has(palette.universe, tone) && !stack.includes(tone))
        .map((tone) => [...stack, tone]);
    });
  }
  return stacks;
}

/** Tones the sound may not lose: the third (or its substitute), a dominant's whole tritone, a b5. */
function essentials(palette: Palette): number {
  const [third] = membersOf(palette.guides);
  if (third === undefined) return 0;
  // A half-diminished chord without its b5 is only minor.
  const flatFifth = has(palette.required, 6) && has(palette.guides, 3) ? 1 << 6 : 0;
  return (palette.isDominant ? palette.guides : 1 << third) | flatFifth;
}

function uppers(harmony: Harmony, frame: Frame): Upper[] {
  const { palette, chord } = harmony;
  const bass = bassInterval(harmony, frame);
  const needed = essentials(palette) & ~(bass === undefined ? 0 : 1 << bass);
  return stacksOf(palette, frame.voices).flatMap((stack) => {
    const sounding = stack.reduce((mask, tone) => mask | (1 << tone), 0);
    const isIncomplete = (needed & ~sounding) !== 0;
    const price = (palette.guides & sounding) === 0 ? noGuidePrice : 0;
    return stackWithin(stack, chord.root, frame.upper).map((notes) => ({
      notes,
      price,
      isIncomplete,
    }));
  });
}

export const fourths: Strategy = {
  id: 'fourths',
  members: (harmony, frame) => {
    const count = countWords[frame.voices] ?? `${frame.voices}`;
    const label = `${count}-part fourths${overBass(harmony, frame)}`;
    return overBasses(uppers(harmony, frame), harmony, frame, label, 'at-a-price');
  },
};
