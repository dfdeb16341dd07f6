/** From notes to the chord they are: as the player wants it read, as a file has it written, or as heard. */
import { setOfNotes, sizeOf } from '../../harmony/pitch/pitch-class-set.ts';
import { type Chord, recognise } from '../../harmony/recognition/recognise.ts';
import type { Ear } from '../ear.ts';
import type { Setup } from '../engine-api.ts';
import type { FileKnowledge } from '../file-knowledge.ts';
import { fewestPitchClasses } from '../hands/hand.ts';
import { chordOfOverride, overrideFor } from '../reading-overrides.ts';
import type { ReadingManner, Voicer } from './voicer-api.ts';

/** A lowest key below E3, and further below the next than a fifth: common practice, no source. */
const highestBass = 51;
const leastGap = 8;

/** The lowest note is the chord's bass, and no part of the hand above it. */
function isBassHeldApart({ bass, root }: Chord, notes: readonly number[]): boolean {
  const lowest = Math.min(...notes);
  if (bass === root || lowest > highestBass || lowest % 12 !== bass) return false;
  return notes.every((note) => note === lowest || note - lowest >= leastGap);
}

const chordsWithBassApart = new WeakMap<Chord, Chord>();

/** The same value for the same chord, which is read many times while keys come. */
function withBassApart(chord: Chord): Chord {
  const known = chordsWithBassApart.get(chord);
  if (known !== undefined) return known;
  const made = { ...chord, isBassApart: true };
  chordsWithBassApart.set(chord, made);
  return made;
}

export function createReader(
  { overrides }: Setup,
  ear: Ear,
  leadSheet: FileKnowledge['leadSheet'],
): Voicer['read'] {
  /** Undefined: the ear decides. */
  const told = (notes: readonly number[]): Chord | undefined => {
    const override = overrides === undefined ? undefined : overrideFor(notes, overrides);
    // In a take a symbol tells how a hand lay, or that a bass was meant.
    return (override && chordOfOverride(override)) ?? leadSheet?.chordOf(notes);
  };
  return (notes, { isCorrection, holding }: ReadingManner = {}) => {
    if (sizeOf(setOfNotes(notes)) < fewestPitchClasses) return undefined;
    const known = told(notes);
    const context = ear.contextFor(Math.min(...notes), Math.max(...notes), isCorrection);
    const heard =
      known ?? recognise(notes, holding === undefined ? context : { ...context, holding });
    return heard !== undefined && isBassHeldApart(heard, notes) ? withBassApart(heard) : heard;
  };
}
