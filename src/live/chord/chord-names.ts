/**
 * What keys are called as a chord of this hand: by themselves, over a bass that is held below them, or
 * as a tune writes the chord that sounds.
 */
import { type Chord, overForeignBass } from '../../harmony/chord/chord.ts';
import { isPlainSet } from '../../harmony/chord/plain-chords.ts';
import { setOfNotes } from '../../harmony/pitch/pitch-class-set.ts';
import type { Reading } from '../hands/parts.ts';
import type { TuneOnStage } from '../tune/tune-on-stage.ts';
import type { ReadingManner, Voicer } from '../voicing/voicer-api.ts';
import type { ChordLife } from './chord-life.ts';

export type ChordNames = Required<Reading> & {
  /** With the bass below them, a MIDI note number, when that has a name. */
  readonly over: (
    bass: number | undefined,
    notes: readonly number[],
    manner: ReadingManner,
  ) => Chord | undefined;
  /** The chord that sounds, as a tune writes it, while these notes leave it so. */
  readonly stillWritten: (notes: readonly number[]) => Chord | undefined;
  /** These notes are a plain chord of another root, not the old one with a tone beside its own. */
  readonly isOther: (chord: Chord, old: Chord, notes: readonly number[]) => boolean;
};

/** With the bass that is held below them. */
export function withBass(bass: number | undefined, notes: readonly number[]): readonly number[] {
  return bass === undefined ? notes : [bass, ...notes];
}

export function createChordNames(
  voicer: () => Voicer,
  life: ChordLife,
  tune: TuneOnStage,
): ChordNames {
  const reads = (notes: readonly number[]): boolean => {
    const chord = voicer().read(notes);
    return chord !== undefined && voicer().canVoice(chord);
  };
  const isPlain = (notes: readonly number[]): boolean =>
    isPlainSet(setOfNotes(notes)) && reads(notes);

  return {
    reads,
    isPlain,
    isShell(notes, at) {
      const { sounding } = life;
      // While a chord is held whole, two notes beside it are a line.
      const isFree = sounding === undefined || sounding.isLifted || sounding.touch.length === 2;
      return isFree && tune.isShell(notes, at);
    },
    over(bass, notes, manner) {
      const { read } = voicer();
      const over = bass === undefined ? undefined : read([bass, ...notes], manner);
      if (over !== undefined) return over;
      const own = read(notes, manner);
      return bass === undefined ? own : own && overForeignBass(own, bass % 12);
    },
    stillWritten(notes) {
      const chord = life.sounding?.voiced.harmony.chord;
      return chord !== undefined && tune.stays(chord, notes) ? chord : undefined;
    },
    isOther(chord, old, notes) {
      const anew = voicer().read(notes) ?? chord;
      return anew.root !== old.root && isPlain(notes);
    },
  };
}
