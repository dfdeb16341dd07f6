/**
 * Rootless voicings for one hand: the A form with the third lowest, the B form with the seventh
 * lowest. Of three voices the fifth, or what stands for it, is left out.
 * Rows and their sources: shared/rootless-forms.json.
 */
import table from '../../../shared/rootless-forms.json' with { type: 'json' };
import type { Harmony, Palette } from '../../harmony/chord/palette.ts';
import { isDegree, semitonesOf } from '../../harmony/pitch/degree.ts';
import { type PitchClassSet, sizeOf } from '../../harmony/pitch/pitch-class-set.ts';
import { overEach, type Upper } from '../bass.ts';
import { lacksEssentials, missingNames } from '../essentials.ts';
import { rotations, stackWithin } from '../stack.ts';
import { type Frame, noDoubling, type Strategy } from '../voicing.ts';

type Form = {
  readonly tones: readonly number[];
  readonly set: PitchClassSet;
  readonly rank: number;
};

const forms: readonly Form[] = table.forms.map(({ degrees, rank }) => {
  const tones = degrees.map((degree) => {
    if (!isDegree(degree)) throw new Error(`shared/rootless-forms.json: no degree ${degree}`);
    return semitonesOf(degree);
  });
  return { tones, set: maskOf(tones), rank };
});

/**
 * Semitones of motion for each tone the symbol names and the form leaves out: our choice, more than a
 * usual move of all voices, so that it is left out only where no form has it.
 */
const namedTonePrice = 8;
/** Degrees low → high: third, fifth, seventh, ninth. The second is what three voices leave out. */
const fifthPlace = 1;

function maskOf(tones: readonly number[]): PitchClassSet {
  return tones.reduce((mask, tone) => mask | (1 << tone), 0);
}

/** Four minor thirds round the octave. */
const diminishedSeventh: PitchClassSet = maskOf([0, 3, 6, 9]);

/** Forms made of the chord's tones and tensions that hold both its guide tones. */
function formsFor(palette: Palette): Form[] {
  const needed = palette.guides;
  if (sizeOf(needed) < 2) return [];
  return forms.filter(({ set }) => (set & ~palette.universe) === 0 && (needed & ~set) === 0);
}

/** Where the root is one of the four, as under a half-diminished chord, it is no rootless voicing. */
function nameOf(order: readonly number[], form: string): string {
  return order.includes(0) ? 'close position' : `rootless${form}`;
}

type Layout = { readonly order: readonly number[]; readonly name: string };

/** A and B; a diminished seventh is the same chord from each of its tones, so all four serve. */
function layoutsOf({ tones, set }: Form, palette: Palette, voices: number): Layout[] {
  const kept = voices < 4 ? tones.filter((_, place) => place !== fifthPlace) : tones;
  const turned = rotations(kept);
  if (set === palette.type.tones && set === diminishedSeventh) {
    return turned.map((order) => ({ order, name: nameOf(order, '') }));
  }
  const upperHalf = kept.length - 2;
  return [
    { order: kept, name: nameOf(kept, ', A form') },
    { order: turned[upperHalf] ?? kept, name: nameOf(kept, ', B form') },
  ];
}

function uppers(harmony: Harmony, frame: Frame, bass: number | undefined): Upper[] {
  const { palette, chord } = harmony;
  return formsFor(palette).flatMap((form) => {
    const layouts = layoutsOf(form, palette, frame.voices);
    return layouts.flatMap(({ order, name }) => {
      const set = maskOf(order);
      const price = form.rank + missingNames(palette, set, bass) * namedTonePrice;
      const isIncomplete = lacksEssentials(palette, set, bass);
      return stackWithin(order, chord.root, frame.upper).map((notes) => ({
        notes,
        price,
        isIncomplete,
        label: name,
      }));
    });
  });
}

export const rootless: Strategy = {
  id: 'rootless',
  name: 'rootless voicings',
  voices: [3, 4],
  narrowestUpper: 16,
  needsTensions: true,
  isOnRoot: false,
  doubling: noDoubling,
  fallbacks: ['close'],
  members: (harmony, frame) =>
    overEach(harmony, frame, 'rootless', (bass) => uppers(harmony, frame, bass), 'freely'),
};
