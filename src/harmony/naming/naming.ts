/**
 * Notes by name: everything the readings of given notes say, as plain text and numbers for a view,
 * a pipe or a lesson sheet. Best reading first.
 */
import { type Chord, chordOf } from '../chord/chord.ts';
import { calledDegree } from '../chord/chord-type.ts';
import { typeOfDegrees } from '../chord/composed-type.ts';
import { hybrids } from '../chord/hybrid.ts';
import { spellRoot } from '../chord/spelling.ts';
import type { Key } from '../key/key.ts';
import { type FunctionName, functionIn, noFunction } from '../key/numeral.ts';
import { type Degree, neutralDegrees } from '../pitch/degree.ts';
import { setOfNotes } from '../pitch/pitch-class-set.ts';
import {
  enharmonics,
  formatNote,
  pitchClassOfSpelled,
  type SpelledPitchClass,
} from '../pitch/pitch-name.ts';
import type { Context } from '../recognition/context.ts';
import type { Reading } from '../recognition/reading.ts';
import { rankReadings } from '../recognition/recognise.ts';
import { type Row, type Upper, writtenRows } from '../recognition/written-reading.ts';
import type { ChordSymbol } from '../symbol/chord-symbol.ts';
import { formatName, formatSymbol, type Lettering } from '../symbol/format-symbol.ts';
import { calledType, hybridSymbol, spellInChord, spellingOf, symbolOf } from '../symbol/symbol.ts';
import { hasOwnBass } from './own-bass.ts';
import { type Technique, techniqueOf } from './technique.ts';

export type NamedReading = {
  readonly symbol: string;
  /** Note names without octave. */
  readonly root: string;
  readonly bass: string;
  /** Id of the chord type, or 'note', 'cluster', 'polychord'. */
  readonly quality: string;
  /** In the order of the notes given. */
  readonly degrees: readonly string[];
  readonly omitted: readonly string[];
  /** Only where a key is given. */
  readonly numeral?: string;
  readonly function?: string;
  readonly score: number;
};

export type NamedNotes = {
  readonly notes: readonly { readonly midi: number; readonly name: string }[];
  readonly readings: readonly NamedReading[];
  readonly technique: Technique;
};

/** Readings further below the best than this are no names anybody would give. */
const farBelow = 7;
const mostReadings = 8;

const thirds: readonly Degree[] = ['3', 'b3'];

/** The symbol of a reading that lacks its third says so. */
function writtenType(reading: Reading) {
  const absent = thirds.filter((degree) => reading.omitted.includes(degree));
  if (absent.length === 0) return calledType(reading.type);
  return typeOfDegrees(reading.type.degrees.filter((degree) => !absent.includes(degree)));
}

/** Notes with the letters they were written with, where they were, and how to write of them. */
type Given = {
  readonly notes: readonly number[];
  readonly letters: readonly (SpelledPitchClass | undefined)[];
  readonly bass: number;
  readonly key: Key | undefined;
  readonly style: Lettering;
};

/** The root as it was written, if every written letter is the chord's own on it; else by the key. */
function rootOf(chord: Chord, { letters, key }: Given): SpelledPitchClass {
  const plain = spellRoot(chord.root, chord.type, key);
  const isAsWritten = (root: SpelledPitchClass): boolean =>
    agrees(letters, (tone) => spellInChord(tone, root, chord.type.degreeAt, key));
  if (isAsWritten(plain)) return plain;
  return enharmonics(chord.root).find(isAsWritten) ?? plain;
}

/** Whether notes are written with the letters that a spelling gives them. */
function agrees(
  letters: Given['letters'],
  spell: (pitchClass: number) => SpelledPitchClass,
): boolean {
  return letters.every(
    (letter) => letter === undefined || spell(pitchClassOfSpelled(letter)).letter === letter.letter,
  );
}

/** An upper chord over its bass; written letters choose between its names. */
function symbolOver({ type, above }: Upper, chord: Chord, given: Given): ChordSymbol {
  const { bass, key, letters } = given;
  const root = rootOf(chord, given);
  const isOnRoot = chord.root === bass;
  const lower = isOnRoot ? root : spellInChord(bass, root, chord.type.degreeAt, key);
  const hybrid = hybrids.find((row) => row.upper === type && row.above === above);
  const plain: ChordSymbol =
    isOnRoot && hybrid !== undefined
      ? hybridSymbol(hybrid, root, key, chord.type.degreeAt)
      : { root, type, bass: lower };
  const isAsWritten = (symbol: ChordSymbol): boolean =>
    agrees(letters, spellingOf(symbol, chord.type.degreeAt, key));
  if (isAsWritten(plain)) return plain;
  const others = enharmonics((bass + above) % 12).flatMap((upper) =>
    enharmonics(bass).map((each): ChordSymbol => ({ root: upper, type, bass: each })),
  );
  return others.find(isAsWritten) ?? plain;
}

/** What a row is called: the chord that rules it, or what the notes' layout makes of that. */
function symbolIn({ reading, over, polychord }: Row, chord: Chord, given: Given): ChordSymbol {
  if (over !== undefined) return symbolOver(over, chord, given);
  const root = rootOf(chord, given);
  if (polychord !== undefined) {
    const { upper, lower } = polychord;
    const above = (chord.root + upper.above) % 12;
    return {
      root: spellRoot(above, upper.type, given.key),
      type: upper.type,
      lower: { root, type: lower },
    };
  }
  const symbol = symbolOf(chord, given.key, root);
  return symbol.lower === undefined ? { ...symbol, type: writtenType(reading) } : symbol;
}

function degreeAbove(pitchClass: number, chord: Chord): Degree {
  const semitones = (pitchClass - chord.root + 12) % 12;
  return chord.type.degreeAt[semitones] ?? neutralDegrees[semitones] ?? '1';
}

function qualityOf({ reading, polychord }: Row): string {
  if (polychord !== undefined) return 'polychord';
  if (reading.kind === 'polychord' || reading.kind === 'cluster' || reading.kind === 'note') {
    return reading.kind;
  }
  return reading.type.id;
}

function functionOf(chord: Chord, given: Given): FunctionName {
  const { key } = given;
  return key === undefined ? noFunction : functionIn(key, rootOf(chord, given), chord);
}

function nameReading(row: Row, given: Given): NamedReading {
  const { reading, score } = row;
  const { notes, bass, key, style } = given;
  const chord = chordOf(reading, bass);
  const { numeral, role } = functionOf(chord, given);
  const symbol = symbolIn(row, chord, given);
  const below = symbol.lower ?? symbol;
  // A cluster is suspended from nothing.
  const called = (degree: Degree): string =>
    reading.kind === 'cluster' ? degree : calledDegree(degree, chord.type);
  const isOnBass = row.over !== undefined && chord.root === bass;
  const root = isOnBass && symbol.bass !== undefined ? symbol.bass : below.root;
  return {
    symbol: formatSymbol(symbol, style),
    root: formatName(root, style),
    bass: formatName(symbol.lower === undefined ? (symbol.bass ?? symbol.root) : below.root, style),
    quality: qualityOf(row),
    degrees: notes.map((note) => called(degreeAbove(note % 12, chord))),
    omitted: reading.omitted.map(called),
    ...(key !== undefined && { numeral, function: role || 'none' }),
    score: Math.round(score * 100) / 100,
  };
}

/** The first of each symbol: one name, one line. */
function distinctSymbols(readings: readonly NamedReading[]): NamedReading[] {
  const seen = new Set<string>();
  return readings.filter(({ symbol }) => {
    const isNew = !seen.has(symbol);
    seen.add(symbol);
    return isNew;
  });
}

/**
 * `notes`: at least one, each 0–127, in any order, which the answer keeps; `letters`: as the notes
 * were written, in the same order. The first reading rules the spelling and what the technique says.
 */
export function nameNotes(
  notes: readonly number[],
  context: Context,
  style: Lettering = 'ascii',
  letters: Given['letters'] = [],
): NamedNotes {
  const { rows, chord, given } = rowsOf(notes, context, style, letters);
  return {
    notes: namesOfNotes(given, rows[0], chord),
    readings: distinctSymbols(rows.map((row) => nameReading(row, given))).slice(0, mostReadings),
    technique: techniqueOf(notes, chord),
  };
}

export type BestName = Pick<NamedNotes, 'notes'> & {
  /** As the notes are read. */
  readonly chord: Chord;
  readonly reading: NamedReading;
  /** How far the next best reading with another root lies below it, in points of the score. */
  readonly lead: number;
};

/** The same of the best reading alone, which costs a tenth. */
export function nameBest(notes: readonly number[], context: Context): BestName {
  const { rows, chord, given } = rowsOf(notes, context, 'ascii', []);
  const [best] = rows;
  const other = rows.find(({ reading }) => reading.rootAboveBass !== best.reading.rootAboveBass);
  return {
    notes: namesOfNotes(given, best, chord),
    chord,
    reading: nameReading(best, given),
    lead: other === undefined ? farBelow : best.score - other.score,
  };
}

type Rows = readonly [Row, ...Row[]];

function rowsOf(
  notes: readonly number[],
  context: Context,
  style: Lettering,
  letters: Given['letters'],
): { readonly rows: Rows; readonly chord: Chord; readonly given: Given } {
  const ascending = [...new Set(notes)].sort((one, other) => one - other);
  const [lowest = 0] = ascending;
  const bass = lowest % 12;
  const hasBass = context.hasBass ?? hasOwnBass(lowest, ascending.at(-1) ?? lowest);
  const { key } = context;
  const all = rankReadings(setOfNotes(notes), bass, { ...context, hasBass });
  const near = all.filter(({ score }) => score > (all[0]?.score ?? 0) - farBelow);
  const [best, ...others] = writtenRows(near, { notes: ascending, hasBass, key });
  if (best === undefined) throw new Error('notes without a reading: the table names every set');
  const chord = chordOf(best.reading, bass);
  return { rows: [best, ...others], chord, given: { notes, letters, bass, key, style } };
}

function namesOfNotes(given: Given, best: Row, chord: Chord): NamedNotes['notes'] {
  const { notes, key, style } = given;
  const spell = spellingOf(symbolIn(best, chord, given), chord.type.degreeAt, key);
  return notes.map((note) => ({
    midi: note,
    name: nameWithOctave(note, spell(note % 12), style),
  }));
}

function nameWithOctave(note: number, spelled: SpelledPitchClass, style: Lettering): string {
  if (pitchClassOfSpelled(spelled) !== note % 12) return String(note);
  const plain = formatNote(note, spelled);
  return style === 'ascii'
    ? plain
    : `${formatName(spelled, style)}${/-?\d+$/u.exec(plain)?.[0] ?? ''}`;
}
