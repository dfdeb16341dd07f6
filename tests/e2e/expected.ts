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
export const firstPreset = 'steady-fourths';
export const secondPreset = 'steady-close';
/** Which shipped presets they are, but for their wait. */
export const steady = [
  { id: firstPreset, from: 'fourths-over-root' },
  { id: secondPreset, from: 'close-as-played' },
] as const;

/**
 * `triads` through `firstPreset`, without a key, from the start of a session. Follows from the
 * rules: the stack holds the third and, of bare triads, only what is right in every function (major:
 * 6 and 9; minor: 7 and 11), which leaves one stack a chord; the stack moves as little as can be
 * within C3 to D5 (the last C rather up a fourth than down a fifth), over the root from A1 to C3.
 */
export const inFirstPreset: readonly (readonly number[])[] = [
  [36, 52, 57, 62], // C2; E3 A3 D4: 3 6 9
  [33, 50, 55, 60], // A1; D3 G3 C4: 11 b7 b3
  [41, 57, 62, 67], // F2; A3 D4 G4: 3 6 9
  [43, 59, 64, 69], // G2; B3 E4 A4: 3 6 9
  [48, 64, 69, 74], // C3; E4 A4 D5: 3 6 9
];

/**
 * `triads` through `secondPreset`, played right after `triads` through `firstPreset`: the held
 * notes and no others, in close position over the root. The upper voices come down into the
 * preset's own register (D3 to G4). Under C4 E4 G4 the bass then falls by a third, so they take the
 * position below it rather than go with it in octaves and fifths, and from there move by step or
 * stay, against the bass.
 */
export const inSecondPreset: readonly (readonly number[])[] = [
  [48, 60, 64, 67], // C3; C4 E4 G4
  [45, 52, 57, 60], // A2; E3 A3 C4
  [41, 53, 57, 60], // F2; F3 A3 C4
  [43, 50, 55, 59], // G2; D3 G3 B3
  [36, 52, 55, 60], // C2; E3 G3 C4
];
