/** A chord as it was heard: one reading of the notes, over a bass, in absolute pitch classes. */
import type { ChordType } from './chord-type.ts';
import type { PitchClass } from './pitch-class-set.ts';
import type { Reading } from './reading.ts';

export type Chord = {
  readonly root: PitchClass;
  readonly bass: PitchClass;
  readonly reading: Reading;
  readonly type: ChordType;
};

export function chordOf(reading: Reading, bass: PitchClass): Chord {
  const above = bass + reading.rootAboveBass;
  return { root: above < 12 ? above : above - 12, bass, reading, type: reading.type };
}
