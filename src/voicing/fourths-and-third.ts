/**
 * Three fourths and a major third on top: five voices, the third under the lead. The fourths are
 * perfect, or one of them augmented where the chord has no perfect shape; chord tones and available
 * tensions only.
 * Source of the shape: Wikipedia, 'So What chord'; which chords it serves is computed from it.
 */
import type { Palette } from '../harmony/palette.ts';
import { has } from '../harmony/pitch-class-set.ts';
import { overEach } from './bass.ts';
import { stacked, stacksOf } from './fourths.ts';
import type { Strategy } from './voicing.ts';

/** Semitones of motion an augmented fourth in the shape counts as. */
const augmentedPrice = 3;
const majorThird = 4;

function shapesOf(palette: Palette): number[][] {
  return stacksOf(palette, 4, [5, 6]).flatMap((stack) => {
    const top = ((stack.at(-1) ?? 0) + majorThird) % 12;
    return has(palette.universe, top) && !stack.includes(top) ? [[...stack, top]] : [];
  });
}

function augmentedFourths(notes: readonly number[]): number {
  return notes.filter((note, index) => note - (notes[index - 1] ?? note) === 6).length;
}

export const fourthsAndThird: Strategy = {
  id: 'fourths-and-third',
  voices: [5, 5],
  fallbacks: ['fourths', 'spread', 'open', 'close'],
  members: (harmony, frame) => {
    const shapes = shapesOf(harmony.palette);
    return overEach(harmony, frame, 'three fourths and a major third', (bass) =>
      stacked(shapes, harmony, frame, bass)
        .filter(({ notes }) => augmentedFourths(notes) <= 1)
        .map((upper) => ({
          ...upper,
          price: upper.price + augmentedPrice * augmentedFourths(upper.notes),
        })),
    );
  },
};
