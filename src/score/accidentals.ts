/**
 * Which accidentals a bar needs on one staff: those that neither the key signature nor an earlier
 * note of the bar on the same line says. Source: Read, Music Notation (2nd ed. 1979), ch. 8 (from memory).
 */

export type Placed = {
  readonly tick: number;
  /** 0 = C … 6 = B. */
  readonly letter: number;
  readonly octave: number;
  /** Semitones. */
  readonly alter: number;
  /** Tied from the bar before: its accidental still holds for it, and for no other note. */
  readonly isTiedIn: boolean;
};

const names: Readonly<Record<number, string>> = {
  [-2]: 'flat-flat',
  [-1]: 'flat',
  0: 'natural',
  1: 'sharp',
  2: 'double-sharp',
};

/** Letters in the order signatures take them: sharps from F, flats from B. */
const sharpOrder = [3, 0, 4, 1, 5, 2, 6];

/** What the signature says of each letter. */
export function signatureOf(fifths: number): readonly number[] {
  const alters = [0, 0, 0, 0, 0, 0, 0];
  const order = fifths > 0 ? sharpOrder : [...sharpOrder].reverse();
  for (const letter of order.slice(0, Math.abs(fifths))) alters[letter] = Math.sign(fifths);
  return alters;
}

/** MusicXML's name of each note's accidental; undefined where none is needed. */
export function accidentalsOf(
  notes: readonly Placed[],
  signature: readonly number[],
): ReadonlyMap<Placed, string> {
  const said = new Map<number, number>();
  const needed = new Map<Placed, string>();
  for (const note of [...notes].sort((one, other) => one.tick - other.tick)) {
    if (note.isTiedIn) continue;
    const line = note.octave * 7 + note.letter;
    const now = said.get(line) ?? signature[note.letter] ?? 0;
    if (now === note.alter) continue;
    said.set(line, note.alter);
    needed.set(note, names[note.alter] ?? 'natural');
  }
  return needed;
}
