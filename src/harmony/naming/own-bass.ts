/** Where a left hand's grips begin, C3, and where no bass is looked for any more, E3. */
const lowestGrip = 48;
const lowestHandNote = 52;
const octave = 12;

/**
 * Whether the lowest of some notes is a bass of its own, and not the end of a hand: below C3 always,
 * below E3 where they reach over an octave. A left hand plays its grips from C3 up. Notes 0–127.
 * Common practice, no source.
 */
export function hasOwnBass(lowest: number, highest: number): boolean {
  return lowest < lowestGrip || (lowest < lowestHandNote && highest - lowest >= octave);
}
