/**
 * What the end-to-end performances play and what must come out, in one place.
 * Notes are MIDI note numbers (60 = C4), lowest first.
 */

/** Invented progression in C major, in inversions as a pianist would play it: C, Am/C, F/C, G/B, C. */
export const triads: readonly (readonly number[])[] = [
  [60, 64, 67],
  [60, 64, 69],
  [60, 65, 69],
  [59, 62, 67],
  [60, 64, 67],
];

/** Pitch classes of the roots of `triads`, by the chords' names (0 = C). */
export const roots: readonly number[] = [0, 9, 5, 7, 0];

/** The preset of the first performance, and the one a change goes to. */
export const firstPreset = 'fourths-over-root';
export const secondPreset = 'close-as-played';

/** `triads` through `firstPreset`, without a key, from the start of a session. */
export const inFirstPreset: readonly (readonly number[])[] = [];

/** `triads` through `secondPreset`, played right after `triads` through `firstPreset`. */
export const inSecondPreset: readonly (readonly number[])[] = [];
