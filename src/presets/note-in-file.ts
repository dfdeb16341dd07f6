/** Notes as a preset's file holds them: numbers or names. */
import { parseNoteName } from './note-name.ts';
import type { Register } from './preset.ts';

export type NoteInFile = number | string;

/** MIDI note number, or undefined for a name outside C-1 to G9. */
export function noteNumber(note: NoteInFile): number | undefined {
  return typeof note === 'number' ? note : parseNoteName(note);
}

/** The notes have passed the check that they lie within MIDI's range; else a throw. */
export function toRegister(low: NoteInFile, high: NoteInFile): Register {
  const lowest = noteNumber(low);
  const highest = noteNumber(high);
  if (lowest === undefined || highest === undefined) {
    throw new RangeError(`A register from ${low} to ${high} has passed the check of its notes.`);
  }
  return { lowest, highest };
}
