/**
 * Notes by name: everything the readings of given notes say, as plain text and numbers for a view,
 * a pipe or a lesson sheet. Best reading first.
 */
import { type Chord, chordOf } from './chord.ts';
import type { ChordSymbol } from './chord-symbol.ts';
import { calledDegree } from './chord-type.ts';
import { typeOfDegrees } from './composed-type.ts';
import type { Context } from './context.ts';
import { type Degree, neutralDegrees } from './degree.ts';
import { formatName, formatSymbol, type Lettering } from './format-symbol.ts';
import type { Key } from './key.ts';
import { type FunctionName, functionIn, noFunction } from './numeral.ts';
import { setOfNotes } from './pitch-class-set.ts';
import {
  enharmonics,
  formatNote,
  pitchClassOfSpelled,
  type SpelledPitchClass,
} from './pitch-name.ts';
import type { Reading } from './reading.ts';
import { type Ranked, rankReadings } from './recognise.ts';
import { spellRoot } from './spelling.ts';
import { hybridOf, spellInChord, symbolOf } from './symbol.ts';
import { techniqueOf } from './technique.ts';

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
  readonly technique: { readonly label: string };
};

/** Readings further below the best than this are no names anybody would give. */
const farBelow = 7;
const mostReadings = 8;
/** A lowest note below E3 is heard as a bass of its own. Common practice, no source. */
const lowestHandNote = 52;

const thirds: readonly Degree[] = ['3', 'b3'];

/** The symbol of a reading that lacks its third says so. */
function writtenType(reading: Reading) {
  const absent = thirds.filter((degree) => reading.omitted.includes(degree));
  if (absent.length === 0) return reading.type;
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
  const spells = (root: SpelledPitchClass): boolean =>
    letters.every((letter) => {
      if (letter === undefined) return true;
      const own = spellInChord(pitchClassOfSpelled(letter), root, chord.type.degreeAt, key);
      return own.letter === letter.letter;
    });
  if (spells(plain)) return plain;
  return enharmonics(chord.root).find(spells) ?? plain;
}

function writtenSymbol(chord: Chord, root: SpelledPitchClass, key: Key | undefined): ChordSymbol {
  const symbol = symbolOf(chord, key, root);
  return symbol.lower === undefined ? { ...symbol, type: writtenType(chord.reading) } : symbol;
}

function degreeAbove(pitchClass: number, chord: Chord): Degree {
  const semitones = (pitchClass - chord.root + 12) % 12;
  return chord.type.degreeAt[semitones] ?? neutralDegrees[semitones] ?? '1';
}

function qualityOf(reading: Reading): string {
  if (reading.kind === 'polychord' || reading.kind === 'cluster' || reading.kind === 'note') {
    return reading.kind;
  }
  return reading.type.id;
}

function functionOf(chord: Chord, given: Given): FunctionName {
  const { key } = given;
  return key === undefined ? noFunction : functionIn(key, rootOf(chord, given), chord.type);
}

/** `meant`: what an upper chord over its bass stands for; its function is that chord's. */
type Row = Ranked & { readonly meant?: Reading };

function nameReading({ reading, score, meant = reading }: Row, given: Given): NamedReading {
  const { notes, bass, key, style } = given;
  const chord = chordOf(reading, bass);
  const { numeral, role } = functionOf(chordOf(meant, bass), given);
  const symbol = writtenSymbol(chord, rootOf(chord, given), key);
  const below = symbol.lower ?? symbol;
  // A cluster is suspended from nothing.
  const called = (degree: Degree): string =>
    reading.kind === 'cluster' ? degree : calledDegree(degree, chord.type);
  return {
    symbol: formatSymbol(symbol, style),
    root: formatName(below.root, style),
    bass: formatName(symbol.lower === undefined ? (symbol.bass ?? symbol.root) : below.root, style),
    quality: qualityOf(reading),
    degrees: notes.map((note) => called(degreeAbove(note % 12, chord))),
    omitted: reading.omitted.map(called),
    ...(key !== undefined && { numeral, function: role || 'none' }),
    score: Math.round(score * 100) / 100,
  };
}

/**
 * A hybrid is written as its upper chord over the bass: that name leads, and what both stand for
 * follows.
 */
function withSlashFirst(ranked: readonly Ranked[], bass: number): Row[] {
  const hybrid = ranked.find(({ reading }) => reading.isHybrid);
  const row = hybrid === undefined ? undefined : hybridOf(chordOf(hybrid.reading, bass));
  if (hybrid === undefined || row === undefined) return [...ranked];
  const slash = ranked.find(
    ({ reading }) =>
      reading.kind === 'slash' && reading.type === row.upper && reading.rootAboveBass === row.above,
  );
  if (slash === undefined) return [...ranked];
  const others = ranked.filter((each) => each !== slash);
  const place = others.indexOf(hybrid);
  const first: Row = { ...slash, score: hybrid.score, meant: hybrid.reading };
  return [...others.slice(0, place), first, ...others.slice(place)];
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

function spellNotes(chord: Chord, given: Given): SpelledPitchClass[] {
  const root = rootOf(chord, given);
  return given.notes.map((note) => spellInChord(note % 12, root, chord.type.degreeAt, given.key));
}

/**
 * `notes`: at least one, each 0–127, in any order, which the answer keeps; `letters`: as the notes
 * were written, in the same order.
 */
export function nameNotes(
  notes: readonly number[],
  context: Context,
  style: Lettering = 'ascii',
  letters: Given['letters'] = [],
): NamedNotes {
  const lowest = Math.min(...notes);
  const bass = lowest % 12;
  const inContext: Context = { hasBass: lowest < lowestHandNote, ...context };
  const all = rankReadings(setOfNotes(notes), bass, inContext);
  const [best] = all;
  if (best === undefined) throw new Error('notes without a reading: the table names every set');
  const ranked = withSlashFirst(all, bass).filter(({ score }) => score > best.score - farBelow);
  const chord = chordOf(best.reading, bass);
  const given: Given = { notes, letters, bass, key: context.key, style };
  const spelled = spellNotes(chord, given);
  return {
    notes: notes.map((note, index) => ({
      midi: note,
      name: nameWithOctave(note, spelled[index], style),
    })),
    readings: distinctSymbols(ranked.map((each) => nameReading(each, given))).slice(
      0,
      mostReadings,
    ),
    technique: { label: techniqueOf(notes, chord) },
  };
}

function nameWithOctave(
  note: number,
  spelled: SpelledPitchClass | undefined,
  style: Lettering,
): string {
  if (spelled === undefined || pitchClassOfSpelled(spelled) !== note % 12) return String(note);
  const plain = formatNote(note, spelled);
  return style === 'ascii'
    ? plain
    : `${formatName(spelled, style)}${/-?\d+$/u.exec(plain)?.[0] ?? ''}`;
}
