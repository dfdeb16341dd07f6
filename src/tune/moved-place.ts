/** Where in a tune the next chord is, when a player moves the place: chord by chord, by sections, to the top. */
import type { Tune } from './tune.ts';

export type PlaceMove =
  | { readonly to: 'chord' | 'section'; readonly by: 1 | -1 }
  /** The section of that place, 0 for the first. */
  | { readonly to: 'section'; readonly place: number }
  | { readonly to: 'top' };

/** Where the player is: the chord that was played last, or that is expected next. */
export type Here = { readonly chord: number; readonly isPlayed: boolean };

/** The first chords of the sections; of a tune without any, the first of all. */
export function openingsOf({ chords }: Tune): readonly number[] {
  const found = chords.flatMap(({ opensSection }, index) => (opensSection ? [index] : []));
  return found.length === 0 ? [0] : found;
}

/** Past the last comes the first; back within a section comes its own beginning. */
function beside(tune: Tune, chord: number, by: 1 | -1): number {
  const openings = openingsOf(tune);
  return by > 0
    ? (openings.find((opening) => opening > chord) ?? 0)
    : (openings.findLast((opening) => opening < chord) ?? 0);
}

/** The next chord is one on, or one back, of those that sound. */
function next({ chords }: Tune, { chord, isPlayed }: Here, by: 1 | -1): number {
  const count = chords.length;
  const steps = by > 0 && isPlayed ? 2 : by < 0 && isPlayed ? 0 : 1;
  let at = chord;
  for (let step = 0; step < steps; step += 1) {
    let left = count;
    do {
      at = (at + by + count) % count;
      left -= 1;
    } while (chords[at]?.symbol === '' && left > 0);
  }
  return at;
}

/** The chord that is expected then; undefined: there is none to go to. */
export function movedTo(tune: Tune, here: Here, move: PlaceMove): number | undefined {
  if (tune.chords.length === 0) return undefined;
  if (move.to === 'top') return 0;
  if ('place' in move) return openingsOf(tune)[move.place];
  return move.to === 'chord' ? next(tune, here, move.by) : beside(tune, here.chord, move.by);
}
