/**
 * Three fourths and a major third on top: five voices, the third under the lead. Where that does not
 * show the chord, the third is minor, or one fourth is augmented, or the third lies below a fourth;
 * each has its price, and the label says it. Chord tones and available tensions only.
 * Source of the shape: Wikipedia, 'So What chord'; which chords it serves is computed from it.
 */
import type { Palette } from '../../harmony/chord/palette.ts';
import { has, membersOf, type PitchClassSet, sizeOf } from '../../harmony/pitch/pitch-class-set.ts';
import { overEach, type Upper } from '../bass.ts';
import { foreignTonePrice, scaleOf } from '../chord-scale.ts';
import { lacksEssentials, missingNames } from '../essentials.ts';
import { stackWithin } from '../stack.ts';
import { noDoubling, type Strategy } from '../voicing.ts';

/**
 * Semitones of motion: an augmented fourth, a minor third, a third that is not on top, a guide tone
 * or another that the symbol names and that is not heard. Our choice, by reading results.
 */
const prices = { augmented: 3, minorThird: 2, inside: 6, missing: 8 } as const;

const voices = 5;
const thirds: readonly number[] = [3, 4];
const augmented = 6;
const allSteps: readonly number[] = [5, augmented, ...thirds];

type Shape = {
  /** Semitones above the root, from the lowest voice upwards. */
  readonly stack: readonly number[];
  readonly steps: readonly number[];
};

/** One third and one augmented fourth at most. */
function isShapely(steps: readonly number[]): boolean {
  const many = (found: (step: number) => boolean): boolean => steps.filter(found).length > 1;
  return !many((step) => thirds.includes(step)) && !many((step) => step === augmented);
}

/** By set of tones: few sets serve all roots. */
const known = new Map<PitchClassSet, readonly Shape[]>();

function shapesOf(tones: PitchClassSet): readonly Shape[] {
  const found = known.get(tones) ?? listShapes(tones);
  known.set(tones, found);
  return found;
}

function listShapes(tones: PitchClassSet): Shape[] {
  let found: Shape[] = membersOf(tones).map((tone) => ({ stack: [tone], steps: [] }));
  for (let voice = 1; voice < voices; voice += 1) {
    found = found.flatMap(({ stack, steps }) =>
      allSteps
        .map((step) => ({
          stack: [...stack, ((stack.at(-1) ?? 0) + step) % 12],
          steps: [...steps, step],
        }))
        .filter((shape) => {
          const top = shape.stack.at(-1) ?? 0;
          return has(tones, top) && !stack.includes(top) && isShapely(shape.steps);
        }),
    );
  }
  return found.filter(({ steps }) => steps.some((step) => thirds.includes(step)));
}

/** 'three fourths and a major third, one fourth augmented'. */
function labelOf({ steps }: Shape): string {
  const third = steps.find((step) => thirds.includes(step));
  const kind = third === 4 ? 'a major third' : 'a minor third';
  const place = steps.at(-1) === third ? '' : ' below the top';
  const altered = steps.includes(augmented) ? ', one fourth augmented' : '';
  return `three fourths and ${kind}${place}${altered}`;
}

function shapePrice({ steps }: Shape): number {
  return (
    (steps.includes(augmented) ? prices.augmented : 0) +
    (steps.includes(3) ? prices.minorThird : 0) +
    (thirds.includes(steps.at(-1) ?? 0) ? 0 : prices.inside)
  );
}

function maskOf(tones: readonly number[]): PitchClassSet {
  return tones.reduce((mask, tone) => mask | (1 << tone), 0);
}

function missingFrom(shape: Shape, palette: Palette, bass: number | undefined): number {
  const sounding = maskOf(shape.stack);
  const heard = bass === undefined ? sounding : sounding | (1 << bass);
  return sizeOf(palette.guides & ~heard) + missingNames(palette, sounding, bass);
}

export const fourthsAndThird: Strategy = {
  id: 'fourths-and-third',
  name: 'fourths and a third',
  voices: [voices, voices],
  narrowestUpper: 23,
  needsTensions: true,
  isOnRoot: false,
  doubling: noDoubling,
  fallbacks: ['fourths', 'spread', 'open', 'close'],
  members: (harmony, frame) => {
    const { palette, chord } = harmony;
    const shapes = shapesOf(scaleOf(palette));
    return overEach(harmony, frame, 'three fourths and a third', (bass) => {
      const missing = shapes.map((shape) => missingFrom(shape, palette, bass));
      const least = Math.min(...missing);
      return shapes.flatMap((shape, index): Upper[] => {
        const set = maskOf(shape.stack);
        const away = missing[index] ?? 0;
        const price =
          shapePrice(shape) +
          sizeOf(set & ~palette.universe) * foreignTonePrice +
          away * prices.missing;
        // What one shape can tell of the chord is not left out for a smoother line.
        const isIncomplete = away > least || lacksEssentials(palette, set, bass);
        const label = labelOf(shape);
        return stackWithin(shape.stack, chord.root, frame.upper).map((notes) => ({
          notes,
          price,
          isIncomplete,
          label,
        }));
      });
    });
  },
};
