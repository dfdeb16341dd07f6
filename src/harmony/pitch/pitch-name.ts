/**
 * Note names at the edge: a spelled name is a letter and accidentals; inside, notes are numbers.
 * Middle C is note number 60 and is written C4 (scientific pitch notation). ASCII inside: # and b.
 */
import { type Degree, degreeFacts } from './degree.ts';

const letters = ['C', 'D', 'E', 'F', 'G', 'A', 'B'] as const;
const letterPitches = [0, 2, 4, 5, 7, 9, 11] as const;

export type SpelledPitchClass = {
  /** 0 = C … 6 = B. */
  readonly letter: number;
  /** Sharps positive, flats negative, in semitones. */
  readonly accidental: number;
};

export function pitchClassOfSpelled(spelled: SpelledPitchClass): number {
  return ((letterPitches[spelled.letter] ?? 0) + spelled.accidental + 24) % 12;
}

export function isSamePitchName(one: SpelledPitchClass, other: SpelledPitchClass): boolean {
  return one.letter === other.letter && one.accidental === other.accidental;
}

export function formatPitchClass(spelled: SpelledPitchClass): string {
  const sign = spelled.accidental < 0 ? 'b' : '#';
  return `${letters[spelled.letter] ?? '?'}${sign.repeat(Math.abs(spelled.accidental))}`;
}

/** Reads 'Eb', 'f#', 'B♭', 'Cbb'; undefined when it is no note name. */
export function parsePitchClass(text: string): SpelledPitchClass | undefined {
  const match = /^([A-Ga-g])(#{1,2}|b{1,2}|♯{1,2}|♭{1,2}|x|𝄪|𝄫)?$/u.exec(text.trim());
  if (match === null) return undefined;
  const letter = letters.indexOf((match[1] ?? '').toUpperCase() as (typeof letters)[number]);
  const accidental = accidentalOf(match[2] ?? '');
  return { letter, accidental };
}

function accidentalOf(signs: string): number {
  if (signs === 'x' || signs === '𝄪') return 2;
  if (signs === '𝄫') return -2;
  const each = signs.startsWith('#') || signs.startsWith('♯') ? 1 : -1;
  return [...signs].length * each;
}

/** The tone `degree` above a spelled root: the 3rd of Ab is C, its b3 is Cb. */
export function spellDegree(root: SpelledPitchClass, degree: Degree): SpelledPitchClass {
  const { letters: steps, semitones } = degreeFacts(degree);
  const letter = (root.letter + steps) % 7;
  const wanted = (pitchClassOfSpelled(root) + semitones) % 12;
  const natural = letterPitches[letter] ?? 0;
  const accidental = ((wanted - natural + 18) % 12) - 6;
  return { letter, accidental };
}

/** 'Eb3': the octave belongs to the letter, so Cb4 is note 59 and B#3 is note 60. */
export function formatNote(note: number, spelled: SpelledPitchClass): string {
  const octave = Math.floor((note - spelled.accidental) / 12) - 1;
  return `${formatPitchClass(spelled)}${octave}`;
}

/** A note as it is written: its number, and the letter where it is a name. */
export type WrittenNote = { readonly midi: number; readonly spelled?: SpelledPitchClass };

/** Reads 'Eb3', 'F#4', 'C-1' or a note number '60'; undefined when it is neither or not 0–127. */
export function parseWrittenNote(text: string): WrittenNote | undefined {
  const trimmed = text.trim();
  if (/^\d{1,3}$/.test(trimmed)) return inRange({ midi: Number(trimmed) });
  const match = /^(.+?)(-?\d{1,2})$/u.exec(trimmed);
  if (match === null) return undefined;
  const spelled = parsePitchClass(match[1] ?? '');
  if (spelled === undefined) return undefined;
  const natural = letterPitches[spelled.letter] ?? 0;
  const midi = (Number(match[2]) + 1) * 12 + natural + spelled.accidental;
  return inRange({ midi, spelled });
}

/** The number alone. */
export function parseNote(text: string): number | undefined {
  return parseWrittenNote(text)?.midi;
}

function inRange(note: WrittenNote): WrittenNote | undefined {
  return note.midi >= 0 && note.midi <= 127 ? note : undefined;
}

/** Place on the line of fifths: C 0, G 1, F -1, F# 6, Bb -2. */
export function fifthsOf(spelled: SpelledPitchClass): number {
  const natural = [0, 2, 4, -1, 1, 3, 5][spelled.letter] ?? 0;
  return natural + 7 * spelled.accidental;
}

/** The name at a place on the line of fifths. */
export function spelledAtFifths(fifths: number): SpelledPitchClass {
  const letter = [3, 0, 4, 1, 5, 2, 6][(((fifths + 1) % 7) + 7) % 7] ?? 0;
  return { letter, accidental: Math.floor((fifths + 1) / 7) };
}

/** Made once: a key is spelled for every chord that is played. */
const spellings: readonly (readonly SpelledPitchClass[])[] = Array.from(
  { length: 12 },
  (_, pitchClass) =>
    [0, 1, 2, 3, 4, 5, 6]
      .flatMap((letter) => [-2, -1, 0, 1, 2].map((accidental) => ({ letter, accidental })))
      .filter((spelled) => pitchClassOfSpelled(spelled) === pitchClass),
);

/** Every spelling of a pitch class with two signs at most. */
export function enharmonics(pitchClass: number): readonly SpelledPitchClass[] {
  return spellings[pitchClass] ?? [];
}

/** The spelling of a pitch class nearest to a place on the line of fifths. */
export function spellNear(pitchClass: number, fifths: number): SpelledPitchClass {
  const away = (spelled: SpelledPitchClass): number => Math.abs(fifthsOf(spelled) - fifths);
  return enharmonics(pitchClass).reduce((best, spelled) =>
    away(spelled) < away(best) ? spelled : best,
  );
}

/** The same letter with the same accidental. */
export function isSameName(one: SpelledPitchClass, other: SpelledPitchClass): boolean {
  return one.letter === other.letter && one.accidental === other.accidental;
}
