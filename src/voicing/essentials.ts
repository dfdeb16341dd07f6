/**
 * The tones without which a voicing no longer means its chord, whatever the strategy.
 * Every dominant but the suspended must hold its tritone: T. Pease and K. Pullig, Modern Jazz
 * Voicings (2001), ch. 5 (read in excerpt).
 */
import type { Palette } from '../harmony/palette.ts';
import { membersOf, type PitchClassSet, sizeOf } from '../harmony/pitch-class-set.ts';

/** The third (or its substitute), and a dominant's seventh with it. */
export function essentials(palette: Palette): PitchClassSet {
  const [third] = membersOf(palette.guides);
  if (third === undefined) return 0;
  return palette.isDominant ? palette.guides : 1 << third;
}

function maskWith(sounding: PitchClassSet, bass: number | undefined): PitchClassSet {
  return sounding | (bass === undefined ? 0 : 1 << bass);
}

/** True when `sounding` (a mask from the root) and the bass together lack an essential tone. */
export function lacksEssentials(
  palette: Palette,
  sounding: PitchClassSet,
  bass: number | undefined,
): boolean {
  return (essentials(palette) & ~maskWith(sounding, bass)) !== 0;
}

/**
 * What the symbol names besides root and guide tones: the b5 of a half-diminished chord, the ninth
 * of a ninth chord, an added tone. Not what merely fills it up, such as a plain fifth.
 */
export function namedTones({ type, chordTones, universe, guides }: Palette): PitchClassSet {
  return (type.required | (chordTones & ~type.tones)) & universe & ~guides & ~1;
}

/** How many of the named tones neither sound nor stand in the bass. */
export function missingNames(
  palette: Palette,
  sounding: PitchClassSet,
  bass: number | undefined,
): number {
  const heard = maskWith(sounding, bass);
  const absent = sizeOf(namedTones(palette) & ~heard);
  // An altered dominant shows some altered ninth and some altered fifth.
  return absent + palette.type.oneOf.filter((group) => (group & heard) === 0).length;
}
