/**
 * Clusters: voices in seconds, chord tones and available tensions that lie next to each other, with
 * at most one third among the steps; no semitone on top, at least one guide tone, no further than a
 * major sixth from end to end.
 * That voicings in seconds are a family of their own: T. Pease and K. Pullig, Modern Jazz Voicings
 * (2001), ch. 6 (title read); the numbers: from memory of common practice, no source.
 */
import type { Harmony, Palette } from '../harmony/palette.ts';
import { membersOf, sizeOf } from '../harmony/pitch-class-set.ts';
import { overEach, type Upper } from './bass.ts';
import { partCount } from './count-words.ts';
import { lacksEssentials, missingNames } from './essentials.ts';
import { rotations, stackWithin } from './stack.ts';
import type { Frame, Strategy } from './voicing.ts';

const widestSecond = 2;
const widestThird = 4;
const widestSpan = 9;
/** Semitones of motion: a third in the cluster; two semitones in it; one guide tone only; a tone
 * the symbol names that has no room. */
const prices = { third: 1, secondSemitone: 2, missingGuide: 1, namedTone: 8 } as const;

function stepsOf(stack: readonly number[]): number[] {
  return stack.slice(1).map((tone, index) => (tone - (stack[index] ?? 0) + 12) % 12);
}

function isCluster(stack: readonly number[]): boolean {
  const steps = stepsOf(stack);
  const thirds = steps.filter((step) => step > widestSecond);
  const span = steps.reduce((sum, step) => sum + step, 0);
  return (
    thirds.length <= 1 &&
    thirds.every((step) => step <= widestThird) &&
    span <= widestSpan &&
    steps.length - thirds.length >= 1
  );
}

/** Runs of neighbouring tones of the palette, from each tone upwards. */
function runsOf(palette: Palette, voices: number): number[][] {
  const tones = membersOf(palette.universe);
  if (tones.length < voices) return [];
  return rotations(tones).map((turned) => turned.slice(0, voices));
}

function priceOf(stack: readonly number[], palette: Palette): number {
  const steps = stepsOf(stack);
  const semitones = steps.filter((step) => step === 1).length;
  const thirds = steps.filter((step) => step > widestSecond).length;
  const set = stack.reduce((mask, tone) => mask | (1 << tone), 0);
  return (
    thirds * prices.third +
    Math.max(0, semitones - 1) * prices.secondSemitone +
    sizeOf(palette.guides & ~set) * prices.missingGuide
  );
}

function uppers(harmony: Harmony, frame: Frame, bass: number | undefined): Upper[] {
  const { palette, chord } = harmony;
  return runsOf(palette, frame.voices)
    .filter(isCluster)
    .flatMap((stack) => {
      const set = stack.reduce((mask, tone) => mask | (1 << tone), 0);
      if ((set & palette.guides) === 0 || stepsOf(stack).at(-1) === 1) return [];
      const price = priceOf(stack, palette) + missingNames(palette, set, bass) * prices.namedTone;
      const isIncomplete = lacksEssentials(palette, set, bass);
      return stackWithin(stack, chord.root, frame.upper).map((notes) => ({
        notes,
        price,
        isIncomplete,
      }));
    });
}

export const cluster: Strategy = {
  id: 'cluster',
  voices: [3, 5],
  fallbacks: ['close'],
  members: (harmony, frame) =>
    overEach(harmony, frame, `${partCount(frame.voices)} cluster`, (bass) =>
      uppers(harmony, frame, bass),
    ),
};
