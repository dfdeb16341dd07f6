/**
 * The bass: which tone stands under the upper voices, and joining it to them.
 */
import { spokenDegree } from '../harmony/degree.ts';
import type { Harmony } from '../harmony/palette.ts';
import { has } from '../harmony/pitch-class-set.ts';
import { notesOf } from './stack.ts';
import type { Frame, Voicing } from './voicing.ts';

/** Semitones above the root of the tone the policy puts in the bass; undefined: no bass voice. */
export function bassInterval(harmony: Harmony, frame: Frame): number | undefined {
  const { chord, palette } = harmony;
  if (frame.bass.policy === 'none') return undefined;
  // A bass that is no tone of the chord was meant as such: X/n keeps its n.
  if (chord.reading.bassRole === 'foreign') return (chord.bass - chord.root + 12) % 12;
  if (frame.bass.policy === 'third') {
    if (has(palette.universe, 4)) return 4;
    if (has(palette.universe, 3)) return 3;
  }
  return 0;
}

/** 'over the root', 'over the 3rd', or '' without a bass. */
export function overBass(harmony: Harmony, frame: Frame): string {
  const interval = bassInterval(harmony, frame);
  if (interval === undefined) return '';
  if (harmony.chord.reading.bassRole === 'foreign') return ' over the bass as played';
  if (interval === 3 || interval === 4) return ' over the 3rd';
  return ` over the ${spokenDegree(harmony.palette.degreeAt[interval] ?? '1')}`;
}

export type Upper = {
  readonly notes: readonly number[];
  readonly price: number;
  readonly isIncomplete?: boolean;
};

/** Semitones a doubled bass pitch class counts as. */
const doubledBassPrice = 2;

/** Each set of upper voices over each bass note that stays beneath it. */
export function overBasses(
  uppers: readonly Upper[],
  harmony: Harmony,
  frame: Frame,
  label: string,
  doublesBass: 'freely' | 'at-a-price',
): Voicing[] {
  const interval = bassInterval(harmony, frame);
  if (interval === undefined) {
    return uppers.map((upper) => ({ ...upper, bass: undefined, upper: upper.notes, label }));
  }
  const pitchClass = (harmony.chord.root + interval) % 12;
  const basses = notesOf(pitchClass, frame.bass);
  return uppers.flatMap((upper) => {
    const { notes } = upper;
    const isDoubled =
      doublesBass === 'at-a-price' && notes.some((note) => note % 12 === pitchClass);
    const price = upper.price + (isDoubled ? doubledBassPrice : 0);
    return basses
      .filter((bass) => bass < (notes[0] ?? 0))
      .map((bass) => ({ ...upper, bass, upper: notes, notes: [bass, ...notes], label, price }));
  });
}
