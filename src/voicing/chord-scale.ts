/**
 * The scale of a chord beyond its palette. A diminished seventh in a key has few tensions of the key,
 * and its own tones are thirds apart: textures in seconds and fourths take theirs from its whole
 * scale, a whole step above each of its tones.
 * Source of the scale: R. Hutchinson, Music Theory for the 21st-Century Classroom, section 31.10.
 */
import type { Palette } from '../harmony/chord/palette.ts';
import { type PitchClassSet, transpose } from '../harmony/pitch/pitch-class-set.ts';

export function isDiminishedSeventh({ type }: Palette): boolean {
  return type.degreeAt[9] === 'bb7';
}

/** The tones of the palette; of a diminished seventh, all of its scale. */
export function scaleOf(palette: Palette): PitchClassSet {
  const { universe, chordTones } = palette;
  return isDiminishedSeventh(palette) ? universe | transpose(chordTones, 2) : universe;
}

/** Semitones of motion that a tone of the scale counts as where the key has it not. */
export const foreignTonePrice = 2;
