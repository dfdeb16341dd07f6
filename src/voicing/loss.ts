/**
 * What a voicing loses of what is written: the third and the seventh, or what stands for them, the
 * tones that the symbol alters or adds, the root over a bass that is another tone. No leading is
 * worth one of them, so that the voicings which lose least are the only ones to choose from.
 * Which tones a chord may do without, root and fifth before all others: R. Hutchinson, Music Theory
 * for the 21st-Century Classroom, section 31.7. The order among the rest: common practice, no source.
 */
import type { Harmony } from '../harmony/chord/palette.ts';
import {
  has,
  type PitchClass,
  type PitchClassSet,
  relativeTo,
  setOfNotes,
  sizeOf,
} from '../harmony/pitch/pitch-class-set.ts';
import { namedAlterations } from './essentials.ts';
import type { Frame, Strategy, Voicing } from './voicing.ts';

/** How much each kind of tone counts against the others, where not all can be had. */
const weights = { guide: 4, alteration: 3, other: 2.5, root: 2, ninth: 2 } as const;

const sixth = 9;
const majorSeventh = 11;

/**
 * A sixth for a major seventh: the answer to a lead on the root (G. Lindsay, Jazz Arranging
 * Techniques, ch. 10), and a close to end on (common practice, no source); nowhere else.
 */
export function isSixthWelcome({ isLast, lead }: Frame, root: PitchClass): boolean {
  return isLast === true || (lead !== undefined && lead % 12 === root);
}

/** The root sounds above a bass that is another tone, where that bass is written or played. */
function wantsRoot({ chord }: Harmony, { bass }: Frame): boolean {
  return bass.policy === 'as-played' && chord.bass !== chord.root;
}

const plainNinth = 1 << 2;

/**
 * The tone a semitone under a written lead: there it blurs the melody, and an octave lower it is a minor
 * ninth. C. Israels, Exploring Jazz Arranging, lesson 5, has no semitone between the two top voices.
 */
function blurring({ lead }: Frame, root: PitchClass): PitchClassSet {
  return lead === undefined ? 0 : 1 << ((lead + 11 - root) % 12);
}

/**
 * True where a voicing lacks so much of what its symbol names that another technique is the smaller
 * loss: any such tone, or the root over a bass that is another; but for a plain ninth, which alone is not
 * worth the texture that was asked for, unless some tone is doubled in its place. Common practice, no
 * source.
 */
export function isPoor(
  { notes }: Pick<Voicing, 'notes'>,
  { palette, chord }: Harmony,
  { leavesOut, keepsShape }: Strategy,
  frame: Frame,
): boolean {
  if (keepsShape === true) return false;
  const sounding = relativeTo(setOfNotes(notes), chord.root);
  const blur = blurring(frame, chord.root) & ~palette.guides;
  const spared = (leavesOut?.(palette) ?? 0) | blur;
  const lost = palette.named & ~spared & ~sounding;
  const groups = chord.type.oneOf.some((group) => (group & (sounding | spared)) === 0);
  if (groups || (lost & ~plainNinth) !== 0) return true;
  // Over another bass the root has to be heard above it, or it is another chord.
  if (wantsRoot({ palette, chord }, frame) && !has(spared | sounding, 0)) return true;
  return lost !== 0 && sizeOf(sounding) < notes.length;
}

/** What a voicing of the chord loses: 0 where all that is written sounds; more the worse it is. */
export function lossIn(
  harmony: Harmony,
  frame: Frame,
  { leavesOut }: Strategy,
): (voicing: Voicing) => number {
  const { palette, chord } = harmony;
  const { root } = chord;
  const spared = leavesOut?.(palette) ?? 0;
  const altered = namedAlterations(palette) & ~palette.guides;
  // A plain ninth, a thirteenth, the root goes for the melody's sake; what the symbol alters does not.
  const blur = blurring(frame, root) & ~palette.guides & ~altered;
  const wanted = palette.named & ~spared & ~blur;
  const isRootWanted = wantsRoot(harmony, frame) && !has(spared | blur, 0);
  const isMajor = has(palette.guides, majorSeventh) && has(palette.guides, 4);
  const maySixth = isMajor && isSixthWelcome(frame, root);
  return ({ notes }) => {
    const sounding = relativeTo(setOfNotes(notes), root);
    let absent = wanted & ~sounding;
    if (maySixth && has(sounding, sixth)) absent &= ~(1 << majorSeventh);
    const isRootLost = isRootWanted && !has(sounding, 0);
    const groups = chord.type.oneOf.filter((group) => (group & sounding) === 0).length;
    if (absent === 0 && groups === 0 && !isRootLost) return 0;
    return (
      sizeOf(absent & palette.guides) * weights.guide +
      (sizeOf(absent & altered) + groups) * weights.alteration +
      sizeOf(absent & ~palette.guides & ~altered & ~plainNinth) * weights.other +
      sizeOf(absent & ~altered & plainNinth) * weights.ninth +
      (isRootLost ? weights.root : 0)
    );
  };
}
