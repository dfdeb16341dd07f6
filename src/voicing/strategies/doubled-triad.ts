/**
 * A triad over one of its own tones, with another tone twice above it: E under C G C, where the whole
 * triad above would have the third twice. Over its root it may have the third or the fifth twice, or
 * the root a third time and no fifth, as a dominant seventh often leads to.
 * Source for which tones: B. Aarden and P. von Hippel, 'Rules for Chord Doubling (and Spacing)', Music
 * Theory Online 10.2 (2004), section 6; that the fifth may go: common practice, no source.
 */
import type { Harmony, Palette } from '../../harmony/chord/palette.ts';
import { has, membersOf, sizeOf } from '../../harmony/pitch/pitch-class-set.ts';
import type { Upper } from '../bass.ts';
import { stackWithin } from '../stack.ts';
import type { Frame } from '../voicing.ts';

type DoubledTriad = { readonly once: number; readonly twice: number; readonly price: number };

/**
 * Semitones of motion they count as beside the whole triad above the bass: ours, so that over chorales
 * (tests/voicing/chorale-voices.test.ts) roots, thirds and fifths are doubled as often as there.
 */
const prices = { overRoot: 2, withoutFifth: 3, overOther: 0.5 } as const;

function doubledTriads(palette: Palette, bass: number | undefined): DoubledTriad[] {
  const { chordTones, universe, guides } = palette;
  if (bass === undefined || sizeOf(universe) !== 3 || !has(chordTones, bass)) return [];
  const others = membersOf(chordTones).filter((tone) => tone !== bass);
  const price = bass === 0 ? prices.overRoot : prices.overOther;
  const whole = others.flatMap((twice) =>
    others.filter((once) => once !== twice).map((once) => ({ once, twice, price })),
  );
  const [third] = membersOf(guides);
  if (bass !== 0 || third === undefined) return whole;
  return [...whole, { once: third, twice: 0, price: prices.withoutFifth }];
}

function stacked(
  harmony: Harmony,
  frame: Frame,
  bass: number | undefined,
  orderOf: (triad: DoubledTriad) => readonly number[],
): Upper[] {
  if (frame.voices !== 3) return [];
  return doubledTriads(harmony.palette, bass).flatMap((triad) =>
    stackWithin(orderOf(triad), harmony.chord.root, frame.upper).map((notes) => ({
      notes,
      price: triad.price,
    })),
  );
}

/** Inside an octave: the tone that is there twice lies lowest and highest. */
export function closeDoubled(
  harmony: Harmony,
  frame: Frame,
  bass: number | undefined,
): readonly Upper[] {
  return stacked(harmony, frame, bass, ({ once, twice }) => [twice, once, twice]);
}

/** With an octave between two neighbours, below or above the tone that is there once. */
export function openDoubled(
  harmony: Harmony,
  frame: Frame,
  bass: number | undefined,
): readonly Upper[] {
  return [
    ...stacked(harmony, frame, bass, ({ once, twice }) => [twice, twice, once]),
    ...stacked(harmony, frame, bass, ({ once, twice }) => [once, twice, twice]),
  ];
}
