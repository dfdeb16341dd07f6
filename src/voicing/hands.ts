/**
 * Whether two hands can take a voicing: split at a gap, each side within one hand's span and number
 * of fingers. A bass alone is one note of the left hand and need not be held together with more.
 */
import data from '../../shared/voicing-limits.json' with { type: 'json' };
import type { Voicing } from './voicing.ts';

export const reaches = ['octave', 'ninth', 'tenth'] as const;
/** The widest interval one hand is asked for. */
export type Reach = (typeof reaches)[number];

/** Semitones of a reach. */
export function reachSemitones(reach: Reach): number {
  return data.reach[reach];
}

const mostNotes = data.limits.notesPerHand.value;

function fitsHand(notes: readonly number[], reach: number): boolean {
  const span = (notes.at(-1) ?? 0) - (notes[0] ?? 0);
  return notes.length <= mostNotes && span <= reach;
}

/** True when one hand takes it all, the bass too. */
export function isPlayableByOne({ notes }: Voicing, reach: number): boolean {
  return fitsHand(notes, reach);
}

/** True when some split leaves each hand a span of at most `reach` semitones. */
export function isPlayable({ notes }: Voicing, reach: number): boolean {
  return notes.some(
    (_, split) => fitsHand(notes.slice(0, split), reach) && fitsHand(notes.slice(split), reach),
  );
}
