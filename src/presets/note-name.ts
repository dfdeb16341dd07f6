/**
 * Note names with octave, for registers in preset files and on the command line.
 * Scientific pitch notation as in the MIDI tuning of A4 = 69: middle C = 60 = C4, C-1 = 0, G9 = 127.
 * Only the edge speaks names; everything inside counts in MIDI note numbers.
 */
const pitchClassOfLetter = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 } as const;
const accidentals: { readonly [sign: string]: number } = { '': 0, '#': 1, '♯': 1, b: -1, '♭': -1 };

/** The five black keys by the spelling met most often in print; common practice, no source. */
const plainNames = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'] as const;

export const lowestNote = 0;
export const highestNote = 127;

/** The pattern of one note name, without anchors; shared by the register notation. */
export const noteNamePattern = '[A-Ga-g][#b♯♭]?-?[0-9]';

/**
 * MIDI note number of 'Eb3', 'c4', 'F♯-1', or undefined when it is no note name or lies outside
 * 0–127.
 */
export function parseNoteName(text: string): number | undefined {
  const match = /^([A-Ga-g])([#b♯♭]?)(-?[0-9])$/.exec(text);
  if (match === null) return undefined;
  const [, letter = '', sign = '', octave = ''] = match;
  const pitchClass = pitchClassOfLetter[letter.toUpperCase() as keyof typeof pitchClassOfLetter];
  const note = pitchClass + (accidentals[sign] ?? 0) + 12 * (Number(octave) + 1);
  return note >= lowestNote && note <= highestNote ? note : undefined;
}

/** 'Eb3' for 51. `note` is a MIDI note number; anything else is a broken invariant. */
export function formatNoteName(note: number): string {
  const name = plainNames[note % 12];
  if (name === undefined || note > highestNote) {
    throw new RangeError(`Note ${note} is not a MIDI note number 0–127.`);
  }
  return `${name}${Math.floor(note / 12) - 1}`;
}
