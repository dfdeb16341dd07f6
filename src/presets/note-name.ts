/**
 * Note names with octave, for registers in preset files and on the command line: harmony's names
 * (middle C = 60 = C4), with at most one accidental and the five black keys by the spelling met
 * most often in print. Only the edge speaks names; everything inside counts in MIDI note numbers.
 */
import { formatNote, parseNote, spellNear } from '../harmony/pitch/pitch-name.ts';

export const lowestNote = 0;
export const highestNote = 127;

/** The pattern of one note name, without anchors; shared by the register notation. */
export const noteNamePattern = '[A-Ga-g][#b♯♭]?-?[0-9]';
const wholeName = new RegExp(`^${noteNamePattern}$`, 'u');

/**
 * The place on the line of fifths around which C#, Eb, F#, Ab and Bb are the nearest spellings.
 * Common practice, no source.
 */
const plainCentre = 1.5;

/**
 * MIDI note number of 'Eb3', 'c4', 'F♯-1', or undefined when it is no note name or lies outside
 * 0–127.
 */
export function parseNoteName(text: string): number | undefined {
  return wholeName.test(text) ? parseNote(text) : undefined;
}

/** 'Eb3' for 51. `note` is a MIDI note number; anything else is a broken invariant. */
export function formatNoteName(note: number): string {
  if (!Number.isInteger(note) || note < lowestNote || note > highestNote) {
    throw new RangeError(`Note ${note} is not a MIDI note number 0–127.`);
  }
  return formatNote(note, spellNear(note % 12, plainCentre));
}
