/**
 * What the chord that sounds becomes when one finger of its hand has moved: the same chord with one
 * voice elsewhere, another name for it, or a crushed note resolved. Times are microseconds.
 */
import type { Chord } from '../../harmony/chord/chord.ts';
import type { Message } from '../../midi/message.ts';
import { createHarmonicRhythm } from '../hands/harmonic-rhythm.ts';
import type { HeldKey } from '../hands/held-keys.ts';
import { hasLeft, movedLabel, moveVoice, voicesWithin } from '../hands/moved-finger.ts';
import { notesOf, pitchClassesOf } from '../hands/parts.ts';
import type { Ledger } from '../ledger.ts';
import type { Voicer } from '../voicing/voicer-api.ts';
import type { ChordNames } from './chord-names.ts';
import type { NeighboursOf } from './chord-player-api.ts';
import type { SoundingChord } from './sounding-chord.ts';

/** A finger that moves this soon after its chord resolves a crushed note. Common practice, no source. */
const longestCrush = 250_000;

type Becoming = { readonly chord: Chord; readonly isCrushed: boolean };

export type FingerMoves = {
  /** A chord was struck, and no finger of the last moved to it. */
  readonly noteChord: (at: number) => void;
  /**
   * One voice follows the finger that has moved to one of these keys. Undefined: nothing is done, for
   * no finger has, or the keys are so much another chord that the whole voicing follows.
   */
  readonly move: (
    from: SoundingChord,
    keys: readonly HeldKey[],
    at: number,
    out: Message[],
  ) => SoundingChord | undefined;
  readonly forget: () => void;
};

export function createFingerMoves(
  voicer: () => Voicer,
  names: ChordNames,
  neighboursOf: NeighboursOf,
  ledger: Ledger,
): FingerMoves {
  const rhythm = createHarmonicRhythm();

  /** Undefined where the tone that left was its bass. A trill never goes so far. */
  const becoming = (
    from: SoundingChord,
    keys: readonly HeldKey[],
    at: number,
  ): Becoming | undefined => {
    const { harmony, voicing } = from.voiced;
    const holding = harmony.chord;
    const notes = notesOf(keys);
    const { bass } = neighboursOf(keys);
    const isSoon = at - from.readAt <= longestCrush;
    const isCrushed = isSoon && from.isMoved !== true;
    // A crushed note is read anew; a finger that moves leaves the chord its name while it can.
    const manner = isCrushed ? { isCorrection: true } : { holding };
    const chord = names.over(bass, notes, manner) ?? names.over(bass, notes, {});
    if (chord === undefined) return undefined;
    const isWithin = isSoon || rhythm.isWithinChord(at);
    const isGone = !isWithin && hasLeft(from, keys, voicing.bass);
    return isGone && names.isOther(chord, holding, notes) ? undefined : { chord, isCrushed };
  };

  return {
    noteChord: rhythm.noteChord,
    forget: rhythm.forget,
    move(from, keys, at, out) {
      const key = keys.find((each) => each.role === 'waiting' || each.role === 'through');
      const found = key && becoming(from, keys, at);
      if (key === undefined || found === undefined) return undefined;
      const { chord, isCrushed } = found;
      const { bass } = from.voiced.voicing;
      const moved = moveVoice(from, key, ledger, out);
      const isOwn = voicer().universeOf(chord);
      const voices = isCrushed ? voicesWithin(moved, isOwn, bass, ledger, out) : moved;
      for (const each of keys) each.role = 'chord';
      key.part = 'chord';
      const upper = voices.map((voice) => voice.note).filter((note) => note !== bass);
      const { voicing, ...renamed } = voicer().renamed(from.voiced, chord, { bass, upper });
      const voiced = { ...renamed, voicing: { ...voicing, label: movedLabel(voicing.label) } };
      const heard = pitchClassesOf(keys);
      const touched = { keys, touch: keys, heard, isLifted: false, isMoved: true, readAt: at };
      return { ...from, ...touched, voices, voiced };
    },
  };
}
