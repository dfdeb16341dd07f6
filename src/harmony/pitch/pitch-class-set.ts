/**
 * Pitch-class sets as 12-bit masks: bit n is set when pitch class n sounds (0 = C).
 * "Relative" masks count from a root or bass instead, so that bit 0 is that note.
 */
export type PitchClass = number;
/** Twelve bits. */
export type PitchClassSet = number;

export const allPitchClasses: PitchClassSet = 0xfff;

export function pitchClassOf(note: number): PitchClass {
  return note % 12;
}

export function setOfNotes(notes: readonly number[]): PitchClassSet {
  let set = 0;
  // Some thirty times a chord: an iterator's steps are objects until the code has been compiled.
  for (let place = 0; place < notes.length; place += 1) set |= 1 << ((notes[place] ?? 0) % 12);
  return set;
}

/** The set as seen from `from`: pitch class `from` becomes bit 0. */
export function relativeTo(set: PitchClassSet, from: PitchClass): PitchClassSet {
  return ((set >> from) | (set << (12 - from))) & allPitchClasses;
}

export function transpose(set: PitchClassSet, semitones: number): PitchClassSet {
  const up = ((semitones % 12) + 12) % 12;
  return ((set << up) | (set >> (12 - up))) & allPitchClasses;
}

export function has(set: PitchClassSet, pitchClass: PitchClass): boolean {
  return (set & (1 << pitchClass)) !== 0;
}

export function sizeOf(set: PitchClassSet): number {
  let rest = set;
  let size = 0;
  while (rest !== 0) {
    rest &= rest - 1;
    size += 1;
  }
  return size;
}

/** Members, ascending. */
export function membersOf(set: PitchClassSet): PitchClass[] {
  const members: PitchClass[] = [];
  for (let pitchClass = 0; pitchClass < 12; pitchClass += 1) {
    if (has(set, pitchClass)) members.push(pitchClass);
  }
  return members;
}

/** Semitones up from `from` to `to`, 0–11. */
export function ascent(from: PitchClass, to: PitchClass): number {
  return (to - from + 12) % 12;
}
