/**
 * What each voice of a voicing is worth, where there are fewer players than voices: the order in
 * which tones are left out. Fifth and root before all others: R. Hutchinson, Music Theory for the
 * 21st-Century Classroom, section 31.7. That guide tones stay longest and the bass and the lead stay
 * where they are: common practice, no source.
 */
import type { Harmony } from '../harmony/chord/palette.ts';
import { has } from '../harmony/pitch/pitch-class-set.ts';
import type { Voicing } from '../voicing/voicing.ts';

/** Left out first comes first. */
export const leavingOrder = [
  'a tone that another voice has',
  'the fifth',
  'the root',
  'a tension that the symbol does not name',
  'a tone that the symbol names',
  'the seventh (or what stands for it)',
  'the third (or what stands for it)',
] as const;

export type Worth = {
  /** Place in the order in which tones are left out, from 0. */
  readonly rank: number;
  /** The lowest voice over which the others stand, or the top voice, which is the lead. */
  readonly isOuter: boolean;
  /** Semitones of motion that doubling it in another octave is worth avoiding. */
  readonly doublingCost: number;
};

const fifth = 7;
const thirds = [3, 4] as const;

function rankOf(note: number, notes: readonly number[], { chord, palette }: Harmony): number {
  const above = (note - chord.root + 120) % 12;
  if (notes.some((other) => other !== note && other % 12 === note % 12)) return 0;
  if (above === fifth && !has(palette.named, above)) return 1;
  if (above === 0 && !has(palette.named, above)) return 2;
  if (has(palette.guides, above)) return thirds.some((third) => third === above) ? 6 : 5;
  return has(palette.named, above) || has(palette.chordTones, above) ? 4 : 3;
}

/**
 * Root before fifth before third, never a tone that leads, a seventh or a tension: B. Aarden and
 * P. von Hippel, Music Theory Online 10.2 (2004), section 6.2, for triads; the rest and the numbers:
 * common practice, no source.
 */
function doublingCostOf(note: number, { chord, palette }: Harmony, isLead: boolean): number {
  const above = (note - chord.root + 120) % 12;
  // The lead an octave below is how sections of horns are made fuller.
  if (isLead) return 1;
  if (has(palette.leadingTones, above)) return 14;
  if (above === 0) return 1;
  if (above === fifth && has(palette.chordTones, above)) return 2;
  if (thirds.some((third) => third === above) && has(palette.chordTones, above)) return 4;
  return 8;
}

/** One for each voice, lowest first. */
export function worthOf({ notes, bass }: Voicing, harmony: Harmony): readonly Worth[] {
  const hasBass = bass !== undefined;
  return notes.map((note, voice) => {
    const isLead = voice === notes.length - 1;
    return {
      rank: rankOf(note, notes, harmony),
      isOuter: isLead || (voice === 0 && hasBass),
      // Over a bass that is written the voices are no section of horns over a rhythm section.
      doublingCost: doublingCostOf(note, harmony, isLead && !hasBass),
    };
  });
}
