/** A chord as it was heard: one reading of the notes, over a bass, in absolute pitch classes. */

import type { PitchClass } from '../pitch/pitch-class-set.ts';
import type { SpelledPitchClass } from '../pitch/pitch-name.ts';
import type { Reading } from '../recognition/reading.ts';
import type { ChordSymbol } from '../symbol/chord-symbol.ts';
import type { ChordType } from './chord-type.ts';

export type Chord = {
  readonly root: PitchClass;
  readonly bass: PitchClass;
  readonly reading: Reading;
  readonly type: ChordType;
  /** The bass is held apart from the hand that plays the chord: it is meant, and no inversion. */
  readonly isBassApart?: boolean;
  /** Where it was not heard but stood written: as it was written, and how its root is spelled. */
  readonly written?: {
    readonly symbol: ChordSymbol;
    readonly root: SpelledPitchClass;
    /** It says all: nothing is to grow from it. */
    readonly isAll?: boolean;
    /** By the player, and not by a tune, which may ask for more than the symbol says. */
    readonly isStated?: boolean;
  };
};

export function chordOf(reading: Reading, bass: PitchClass): Chord {
  const above = bass + reading.rootAboveBass;
  return { root: above < 12 ? above : above - 12, bass, reading, type: reading.type };
}

/** The same chord over a bass that is none of its tones, where the two together have no name. */
export function overForeignBass(chord: Chord, bass: PitchClass): Chord {
  const rootAboveBass = (chord.root - bass + 12) % 12;
  return {
    ...chord,
    bass,
    reading: { ...chord.reading, kind: 'slash', bassRole: 'foreign', rootAboveBass },
  };
}
