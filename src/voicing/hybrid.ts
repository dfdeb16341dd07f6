/**
 * Hybrid voicings: an upper triad (three voices) or seventh chord (four) over the root of what
 * both stand for, with no third of that root above the bass. Rows: shared/hybrids.json.
 * Dominants turn into suspensions: with the third gone, the fourth may stand for it.
 */

import { spokenDegree } from '../harmony/degree.ts';
import { type Hybrid, hybrids } from '../harmony/hybrid.ts';
import type { Harmony, Palette } from '../harmony/palette.ts';
import { membersOf, sizeOf } from '../harmony/pitch-class-set.ts';
import { over, rootBass, type Upper } from './bass.ts';
import { dropVoices } from './drop.ts';
import { missingNames, namedAlterations } from './essentials.ts';
import { rotations, stackWithin } from './stack.ts';
import type { Frame, Strategy, Voicing } from './voicing.ts';

const thirds = (1 << 3) | (1 << 4);
const fourth = 1 << 5;

/**
 * Semitones of motion a usable upper chord counts as beside a first choice; and each tone that the
 * symbol names, or the seventh, where the upper chord has it not. Our choice, by reading results: a
 * named tone outweighs any usual move, a second choice one voice's move by a third.
 */
const secondChoicePrice = 3;
const namedTonePrice = 8;

/** Tones a hybrid of this chord may use. */
function thirdless(palette: Palette): number {
  const withoutThird = palette.universe & ~thirds;
  return palette.isDominant ? withoutThird | fourth : withoutThird;
}

/** Close, or with the second voice from the top an octave lower. */
function layouts(tones: readonly number[], root: number, frame: Frame): number[][] {
  return rotations(tones).flatMap((rotation) => {
    const close = stackWithin(rotation, root, frame.upper);
    const dropped = close
      .map((notes) => dropVoices(notes, [2]))
      .filter((notes) => (notes[0] ?? 0) >= frame.upper.lowest);
    return [...close, ...dropped];
  });
}

/** What the upper chord lacks of the chord it stands for; the third is left out on purpose. */
function lacks(row: Hybrid, palette: Palette): { price: number; isIncomplete: boolean } {
  const away = (tones: number): number => sizeOf(tones & ~thirds & ~row.tones & ~1);
  const missing = away(palette.guides) + missingNames(palette, row.tones | thirds, 0);
  // A raised ninth is where the minor third would be: no hybrid has it.
  const isIncomplete = (namedAlterations(palette) & ~palette.guides & ~row.tones & ~1) !== 0;
  return { price: missing * namedTonePrice, isIncomplete };
}

function membersOfRow(row: Hybrid, harmony: Harmony, frame: Frame): Voicing[] {
  const choice = row.use === 'best' ? 0 : secondChoicePrice;
  const { price, isIncomplete } = lacks(row, harmony.palette);
  const uppers: Upper[] = layouts(membersOf(row.tones), harmony.chord.root, frame).map((notes) => ({
    notes,
    price: choice + price,
    isIncomplete,
  }));
  const on = row.degreeAt[row.above] ?? '1';
  const label = `hybrid: ${row.upper.name} on the ${spokenDegree(on)}`;
  return over(rootBass(harmony, frame), uppers, harmony, label, 'freely');
}

export const hybrid: Strategy = {
  id: 'hybrid',
  voices: [3, 4],
  fallbacks: ['spread', 'open', 'close'],
  members: (harmony, frame) => {
    if (harmony.chord.reading.bassRole === 'foreign') return [];
    const allowed = thirdless(harmony.palette);
    return hybrids
      .filter((row) => row.use !== 'pedal' && sizeOf(row.tones) === frame.voices)
      .filter((row) => (row.tones & ~allowed) === 0 && (row.tones & harmony.palette.universe) !== 0)
      .flatMap((row) => membersOfRow(row, harmony, frame));
  },
};
