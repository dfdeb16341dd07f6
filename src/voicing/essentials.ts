/**
 * The tones without which a voicing no longer means its chord, whatever the strategy.
 * Every dominant but the suspended must hold its tritone: T. Pease and K. Pullig, Modern Jazz
 * Voicings (2001), ch. 5 (read in excerpt).
 */

import type { Palette } from '../harmony/chord/palette.ts';
import { type Degree, semitonesOf } from '../harmony/pitch/degree.ts';
import { has, membersOf, type PitchClassSet, sizeOf } from '../harmony/pitch/pitch-class-set.ts';

/** Degrees whose alteration is what the chord is: without it the symbol would be another one. */
const alterations: readonly Degree[] = ['b5', '#5', 'b9', '#9', '#11', 'b13', 'bb7'];

const diminished: PitchClassSet = (1 << 6) | (1 << 9);

/** A diminished seventh has no tone to spare: without its root it is another chord. */
function namedRoot(guides: PitchClassSet): PitchClassSet {
  return (guides & diminished) === diminished ? 1 : 0;
}

/** A sixth is what it is known by; that of a diminished chord is its seventh. */
export function isSixthChord({ guides, type }: Palette): boolean {
  return has(guides, 9) && type.degreeAt[9] !== 'bb7';
}

/** The altered tones the chord's own symbol names; an altered dominant only needs one of each kind. */
export function namedAlterations({ type, universe, guides }: Palette): PitchClassSet {
  const free = type.oneOf.reduce((mask, group) => mask | group, 0);
  let named = 0;
  for (const degree of alterations) {
    const tone = semitonesOf(degree);
    if (type.degreeAt[tone] === degree) named |= 1 << tone;
  }
  return (named & type.required & universe & ~free) | namedRoot(guides);
}

/** The third (or its substitute), and a dominant's seventh with it. */
function telling({ guides, isDominant }: Palette): PitchClassSet {
  const [third] = membersOf(guides);
  if (third === undefined) return 0;
  return isDominant ? guides : 1 << third;
}

function maskWith(sounding: PitchClassSet, bass: number | undefined): PitchClassSet {
  return sounding | (bass === undefined ? 0 : 1 << bass);
}

/**
 * True when `sounding` (a mask from the root) and the bass together lack an essential tone. The
 * alterations come second: where they and the guide tones are more than the voices, those for which
 * there is no room may be missing, and the third and seventh may not.
 */
export function lacksEssentials(
  palette: Palette,
  sounding: PitchClassSet,
  bass: number | undefined,
): boolean {
  const heard = maskWith(sounding, bass);
  const first = telling(palette);
  if ((first & ~heard) !== 0) return true;
  const named = namedAlterations(palette);
  const inBass = bass === undefined ? 0 : 1 << bass;
  const room = sizeOf(sounding) - sizeOf(first & ~inBass);
  const wanted = sizeOf(named & ~first & ~inBass);
  return sizeOf(named & ~heard) > Math.max(0, wanted - room);
}

/**
 * What the symbol names besides root and guide tones: the b5 of a half-diminished chord, the ninth
 * of a ninth chord, an added tone. Not what merely fills it up, such as a plain fifth.
 */
export function namedTones({ type, chordTones, universe, guides }: Palette): PitchClassSet {
  const named = (type.required | (chordTones & ~type.tones)) & universe & ~guides & ~1;
  return named | namedRoot(guides);
}

/** The same in the order they are wanted: what the symbol alters before what it adds. */
export function namedInOrder(palette: Palette): readonly number[] {
  const altered = namedAlterations(palette) & ~palette.guides;
  return [...membersOf(altered), ...membersOf(namedTones(palette) & ~altered)];
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
