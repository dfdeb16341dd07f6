/**
 * Which tones a voicing of n voices takes from the palette when the strategy itself leaves that
 * open: guide tones, then what the symbol names, then the tensions the chord has grown, then the
 * root (where no bass has it) and the fifth. One tone per place, so that a ninth stands for the
 * root and a thirteenth for the fifth when voices are few.
 * The principle of one note per category or its substitute: G. Lindsay, Jazz Arranging Techniques,
 * ch. 10, 'Four-way close' (read in excerpt); the order: common practice, no source.
 */
import type { Palette } from '../harmony/palette.ts';
import { has, membersOf } from '../harmony/pitch-class-set.ts';

/** Tensions in the order they are wanted, as semitones above the root: one 9, one 13, one 11. */
const tensionGroups = [
  [2, 1, 3],
  [9, 8],
  [6, 5],
] as const;
/** The fifth and what may stand for it. */
const fifths = [7, 6, 8] as const;

function wantedTones(palette: Palette, bass: number | undefined): number[] {
  const wanted: number[] = [];
  const want = (semitones: number): void => {
    if (semitones !== bass && has(palette.universe, semitones) && !wanted.includes(semitones)) {
      wanted.push(semitones);
    }
  };
  for (const guide of membersOf(palette.guides)) want(guide);
  for (const named of membersOf(palette.required)) want(named);
  if (bass !== 0) want(0);
  for (const group of tensionGroups) {
    // A ninth the symbol already names is not joined by another (a minor third is no raised ninth).
    const named = palette.required & ~palette.guides;
    if (group.some((tone) => has(named, tone))) continue;
    const tension = group.find((tone) => has(palette.tensions, tone));
    if (tension !== undefined) want(tension);
  }
  for (const fifth of fifths) if (has(palette.chordTones, fifth)) want(fifth);
  for (const tone of membersOf(palette.chordTones)) want(tone);
  // A doubled bass is the last resort, for triads in more voices than they have tones.
  if (bass !== undefined && has(palette.chordTones, bass) && !wanted.includes(bass)) {
    wanted.push(bass);
  }
  return wanted;
}

/** Without its tensions: what remains when a tension makes trouble in the register at hand. */
function plain(palette: Palette): Palette {
  return { ...palette, universe: palette.chordTones, tensions: 0 };
}

/**
 * Sets of tones (semitones above the root, ascending), best first; at most `voices` each and fewer
 * where the chord has no more. `bass` is the tone the bass voice takes, or undefined.
 */
export function toneSets(palette: Palette, voices: number, bass: number | undefined): number[][] {
  const sets = [wantedTones(palette, bass), wantedTones(plain(palette), bass)].map((wanted) =>
    wanted.slice(0, voices).sort((one, other) => one - other),
  );
  const seen = new Set<string>();
  return sets.filter((set) => {
    const name = set.join();
    if (seen.has(name)) return false;
    seen.add(name);
    return true;
  });
}
