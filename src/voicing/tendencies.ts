/**
 * Which notes of a voicing want to move when the root falls a fifth or a semitone: sevenths go down
 * a step, a dominant's third (the leading note) up a semitone, or either is held.
 * Source of the step-wise guide tones: R. Hutchinson, Music Theory for the 21st-Century Classroom,
 * section 31.7.
 */
import type { Harmony } from '../harmony/chord/palette.ts';
import { has } from '../harmony/pitch/pitch-class-set.ts';
import type { Tendencies } from './voicing.ts';

const minorSeventh = 10;
const majorSeventh = 11;

function isSeventh(interval: number, harmony: Harmony): boolean {
  const { type } = harmony.palette;
  return (interval === minorSeventh || interval === majorSeventh) && has(type.tones, interval);
}

export function tendenciesOf(upper: readonly number[], harmony: Harmony): Tendencies {
  const { root } = harmony.chord;
  const above = (note: number): number => (note - root + 120) % 12;
  return {
    root,
    sevenths: upper.filter((note) => isSeventh(above(note), harmony)),
    leadingTones: upper.filter((note) => has(harmony.palette.leadingTones, above(note))),
  };
}
