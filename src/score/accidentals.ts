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

/** Lines of the staff by what an accidental has made of them, as `accidentalsOf` counts them. */
export type Said = ReadonlyMap<number, number>;

function lineOf({ octave, letter }: Placed): number {
  return octave * 7 + letter;
}

/** What the last note of each line of a bar was, where the signature has it otherwise. */
export function saidIn(notes: readonly Placed[], signature: readonly number[]): Said {
  const said = new Map<number, number>();
  for (const note of [...notes].sort((one, other) => one.tick - other.tick)) {
    said.set(lineOf(note), note.alter);
  }
  for (const [line, alter] of said) {
    if (alter === (signature[((line % 7) + 7) % 7] ?? 0)) said.delete(line);
  }
  return said;
}

/**
 * The first notes of a bar that are as the signature has them, where the bar before had another note on
 * the line: a bar line ends an accidental, and players are reminded of it. Read, as above.
 */
export function courtesiesOf(
  notes: readonly Placed[],
  before: Said,
  needed: ReadonlyMap<Placed, string>,
): ReadonlyMap<Placed, string> {
  const seen = new Set<number>();
  const courtesies = new Map<Placed, string>();
  for (const note of [...notes].sort((one, other) => one.tick - other.tick)) {
    const line = lineOf(note);
    if (seen.has(line)) continue;
    seen.add(line);
    const last = before.get(line);
    if (last === undefined || last === note.alter || needed.has(note) || note.isTiedIn) continue;
    courtesies.set(note, names[note.alter] ?? 'natural');
  }
  return courtesies;
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
    const line = lineOf(note);
    const now = said.get(line) ?? signature[note.letter] ?? 0;
    if (now === note.alter) continue;
    said.set(line, note.alter);
    needed.set(note, names[note.alter] ?? 'natural');
  }
  return needed;
}
