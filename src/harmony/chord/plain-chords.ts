/**
 * What a hand plays plainly: triads, suspensions, sixth and seventh chords of every day, whole and with
 * nothing beside them. A set of pitch classes is one or not whatever it is called in its context.
 */

import { type PitchClassSet, transpose } from '../pitch/pitch-class-set.ts';
import { chordType } from './chord-type.ts';

const ids = [
  'major',
  'minor',
  'diminished',
  'augmented',
  'suspended-fourth',
  'suspended-second',
  'major-sixth',
  'minor-sixth',
  'major-seventh',
  'dominant-seventh',
  'dominant-suspended',
  'minor-seventh',
  'half-diminished',
  'diminished-seventh',
  'minor-major-seventh',
] as const;

const plain = new Uint8Array(4096);
for (const id of ids) {
  for (let root = 0; root < 12; root += 1) plain[transpose(chordType(id).tones, root)] = 1;
}

/** Whether these pitch classes (bit 0 is C) are a plain chord on any root. */
export function isPlainSet(set: PitchClassSet): boolean {
  return plain[set] === 1;
}
