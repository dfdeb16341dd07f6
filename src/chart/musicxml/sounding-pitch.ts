/** What a note of a score sounds at: its written pitch, and how its part transposes. */
import { childOf, numberOf, textOf, type XmlElement } from './xml-tree.ts';

const letters: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

/** Semitones from written to sounding; undefined: these attributes say nothing of it. */
export function transpositionOf(attributes: XmlElement): number | undefined {
  const transpose = childOf(attributes, 'transpose');
  if (transpose === undefined) return undefined;
  const octaves = numberOf(transpose, 'octave-change') ?? 0;
  return (numberOf(transpose, 'chromatic') ?? 0) + 12 * octaves;
}

/** Parts of a quarter note that durations count; undefined: these attributes say nothing of it. */
export function divisionsOf(attributes: XmlElement): number | undefined {
  const divisions = numberOf(attributes, 'divisions');
  return divisions === undefined || divisions > 0 ? divisions : 1;
}

/** A MIDI note number; undefined for a rest, an unpitched note and one that MIDI has not. */
export function soundingPitch(note: XmlElement, transposition: number): number | undefined {
  const pitch = childOf(note, 'pitch');
  const step = letters[textOf(pitch, 'step').toUpperCase()];
  const octave = numberOf(pitch, 'octave');
  if (step === undefined || octave === undefined) return undefined;
  const alter = Math.round(numberOf(pitch, 'alter') ?? 0);
  const midi = (octave + 1) * 12 + step + alter + transposition;
  return midi >= 0 && midi <= 127 ? midi : undefined;
}
