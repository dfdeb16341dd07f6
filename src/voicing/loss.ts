/**
 * What a voicing loses of what is written: the third and the seventh, or what stands for them, the
 * tones that the symbol alters or adds, the root over a bass that is another tone. No leading is
 * worth one of them, so that the voicings which lose least are the only ones to choose from.
 * Which tones a chord may do without, root and fifth before all others: R. Hutchinson, Music Theory
 * for the 21st-Century Classroom, section 31.7. The order among the rest: common practice, no source.
 */
import type { Harmony } from '../harmony/chord/palette.ts';
import { has, type PitchClassSet, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import { namedAlterations } from './essentials.ts';
import type { Frame, Strategy, Voicing } from './voicing.ts';

/** How much each kind of tone counts against the others, where not all can be had. */
const weights = { guide: 4, alteration: 3, root: 2, other: 2 } as const;

const sixth = 9;
const majorSeventh = 11;

/**
 * A sixth for a major seventh: the answer to a lead on the root (G. Lindsay, Jazz Arranging
 * Techniques, ch. 10), and a close to end on (common practice, no source); nowhere else.
 */
function closesAsSixth(sounding: PitchClassSet, harmony: Harmony, frame: Frame): boolean {
  const { palette, chord } = harmony;
  const isMajor = has(palette.guides, majorSeventh) && has(palette.guides, 4);
  if (!isMajor || !has(sounding, sixth)) return false;
  return frame.isLast === true || (frame.lead !== undefined && frame.lead % 12 === chord.root);
}

/** The root sounds above a bass that is another tone, where that bass is written or played. */
function wantsRoot({ chord }: Harmony, { bass }: Frame): boolean {
  return bass.policy === 'as-played' && chord.bass !== chord.root;
}

/** 0 where all that is written sounds; more the worse the loss. */
export function lossOf(
  { notes }: Voicing,
  harmony: Harmony,
  frame: Frame,
  { leavesOut }: Strategy,
): number {
  const { palette, chord } = harmony;
  let sounding = 0;
  for (const note of notes) sounding |= 1 << ((note - chord.root + 120) % 12);
  const spared = leavesOut?.(palette) ?? 0;
  let absent = palette.named & ~sounding & ~spared;
  if (has(absent, majorSeventh) && closesAsSixth(sounding, harmony, frame)) {
    absent &= ~(1 << majorSeventh);
  }
  const altered = namedAlterations(palette) & ~palette.guides;
  const guides = sizeOf(absent & palette.guides);
  const alterations = sizeOf(absent & altered);
  const others = sizeOf(absent & ~palette.guides & ~altered);
  const isRootLost = wantsRoot(harmony, frame) && ((sounding | spared) & 1) === 0;
  const groups = chord.type.oneOf.filter((group) => (group & sounding) === 0).length;
  return (
    guides * weights.guide +
    (alterations + groups) * weights.alteration +
    others * weights.other +
    (isRootLost ? weights.root : 0)
  );
}
