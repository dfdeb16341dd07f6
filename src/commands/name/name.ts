/** `handspan name`: what notes are called and how they are built, or what a chord symbol says. */

import { defineCommand, exitCodes, misuse, type Streams } from '../../cli/command.ts';
import type { Result } from '../../common/result.ts';
import { spelledChordOf } from '../../harmony/chord/spelled-chord.ts';
import { type Key, keyForms, parseKey } from '../../harmony/key/key.ts';
import { functionIn } from '../../harmony/key/numeral.ts';
import { type NamedNotes, nameNotes } from '../../harmony/naming/naming.ts';
import {
  parseNote,
  parsePitchClass,
  parseWrittenNote,
  pitchClassOfSpelled,
  type WrittenNote,
} from '../../harmony/pitch/pitch-name.ts';
import type { Context, Neighbour } from '../../harmony/recognition/context.ts';
import type { Lettering } from '../../harmony/symbol/format-symbol.ts';
import { parseSymbol, saysNoChord } from '../../harmony/symbol/parse-symbol.ts';
import { type SymbolFacts, symbolFacts } from '../../harmony/symbol/symbol-facts.ts';
import { findNearest } from '../../presets/nearest.ts';
import { describeFewNotes, describeNotes, describeSymbol } from './name-lines.ts';

export const name = defineCommand({
  name: 'name',
  about:
    'Names the chord of some notes, best reading first, and says how it is built; or explains a ' +
    'chord symbol. A NOTE is a name with its octave (Eb3, F#4; middle C is C4) or a MIDI note ' +
    'number; a name without an octave (C E G) lies above the note before. One word alone that could be both, like C7, is read as a symbol.',
  usage: ['name [OPTIONS] NOTE...', 'name [OPTIONS] SYMBOL'],
  example: 'handspan name --key A A2 E4 G#4 B4',
  options: {
    key: { type: 'string', value: 'KEY', about: `The key the chord stands in: ${keyForms}` },
    after: { type: 'string', value: 'SYMBOL', about: 'The chord before: Dm7' },
    unicode: { type: 'boolean', about: 'Write ♭ ♯ Δ ø ° instead of b # maj m7(b5) dim' },
    json: { type: 'boolean', about: 'Answer as JSON' },
  },
  maximumPositionals: Number.POSITIVE_INFINITY,
  run: async ({ values, positionals }, streams) => {
    const key = keyFrom(values.key);
    if (!key.ok) return misuse(streams, `'--key': ${key.problem}.`, 'name');
    const after = neighbourFrom(values.after);
    if (!after.ok) return misuse(streams, `'--after': ${after.problem}.`, 'name');
    const style: Lettering = values.unicode === true ? 'unicode' : 'ascii';
    const output: Output = { streams, style, isJson: values.json === true };
    const [only] = positionals;
    if (only === undefined) {
      return misuse(streams, 'there is nothing to name: give notes or a chord symbol.', 'name');
    }
    if (positionals.length === 1 && isSymbol(only)) return nameOne(only, key.value, output);
    const notes = notesFrom(positionals);
    if (!notes.ok) return misuse(streams, `${notes.problem}.`, 'name');
    const context: Context = {
      ...(key.value !== undefined && { key: key.value }),
      ...(after.value !== undefined && { previous: after.value }),
    };
    const named = nameNotes(
      notes.value.map(({ midi }) => midi),
      context,
      style,
      notes.value.map(({ spelled }) => spelled),
    );
    const few = describeFewNotes(asWritten(positionals, named));
    // One note is no chord; two are an interval before they are half of one.
    const readings =
      new Set(named.notes.map(({ midi }) => midi % 12)).size < 2 ? [] : named.readings;
    write(output, few === undefined ? named : { ...named, readings }, few ?? describeNotes(named));
    return exitCodes.fine;
  },
});

/** Fewer notes than a chord keep the names they were given: no root tells better ones. */
function asWritten(words: readonly string[], named: NamedNotes): NamedNotes {
  const notes = named.notes.map(({ midi, name: own }, index) => {
    const word = words[index] ?? own;
    return { midi, name: parsePitchClass(word) || /^\d/u.test(word) ? own : word };
  });
  return { ...named, notes };
}

type Output = {
  readonly streams: Streams;
  readonly style: Lettering;
  readonly isJson: boolean;
};

type Part<T> = Result<T>;

function write({ streams, isJson }: Output, value: unknown, lines: readonly string[]): void {
  streams.stdout.write(isJson ? `${JSON.stringify(value)}\n` : `${lines.join('\n')}\n`);
}

/** 'C4' is a note and 'C7' a chord: these numbers behind a letter are what musicians call chords. */
const chordNumbers = /^[A-G](?:[#b♯♭]?[25679]|(?:##|bb|♯♯|♭♭|x)7)$/u;

/** What is no note and can be read as a symbol is one: there is no octave -7, so C-7 is C minor 7. */
function isSymbol(word: string): boolean {
  if (chordNumbers.test(word)) return true;
  if (parseNote(word) !== undefined) return false;
  return saysNoChord(word) || parseSymbol(word).ok || !isNearNote(word);
}

/** A letter and an octave, or a number, however wrong: its writer meant a note. */
function isNearNote(word: string): boolean {
  const isLetterAndNumber = /^[A-Ha-h][#b♯♭x]*-?\d{1,3}$/u.test(word);
  return /^-?\d+$/u.test(word) || (isLetterAndNumber && !/(?:11|13|69)$/u.test(word));
}

/** Said of N.C. in the fields of a symbol. */
const noChord: SymbolFacts = {
  ...{ symbol: 'N.C.', root: '', bass: '', quality: 'none' },
  ...{ tones: [], tensions: [], care: [], aliases: [] },
};

function nameOne(text: string, key: Key | undefined, output: Output): number {
  if (saysNoChord(text)) {
    write(output, noChord, ['N.C.  (no chord: nothing sounds)']);
    return exitCodes.fine;
  }
  const parsed = parseSymbol(text);
  if (!parsed.ok) return misuse(output.streams, `${parsed.problem}.`, 'name');
  const facts = symbolFacts(parsed.value, key, output.style);
  const { chord, root } = spelledChordOf(parsed.value);
  const inKey = key && functionIn(key, root, chord);
  const named = inKey && { numeral: inKey.numeral, function: inKey.role || 'none' };
  write(output, { ...facts, ...named }, describeSymbol({ ...facts, ...named }));
  return exitCodes.fine;
}

function keyFrom(text: string | undefined): Part<Key | undefined> {
  return text === undefined ? { ok: true, value: undefined } : parseKey(text);
}

function neighbourFrom(text: string | undefined): Part<Neighbour | undefined> {
  if (text === undefined) return { ok: true, value: undefined };
  const parsed = parseSymbol(text);
  if (!parsed.ok) return parsed;
  const { root, type } = parsed.value.lower ?? parsed.value;
  return { ok: true, value: { root: pitchClassOfSpelled(root), type } };
}

const letters = [
  'C',
  'C#',
  'Db',
  'D',
  'D#',
  'Eb',
  'E',
  'F',
  'F#',
  'Gb',
  'G',
  'G#',
  'Ab',
  'A',
  'A#',
  'Bb',
  'B',
];
const octaves = ['-1', '0', '1', '2', '3', '4', '5', '6', '7', '8', '9'];
const noteNames = letters.flatMap((letter) => octaves.map((octave) => `${letter}${octave}`));

function noteProblem(word: string, index: number, count: number): string {
  const where = `note ${index + 1} of ${count}, "${word}"`;
  if (/^-?\d+$/u.test(word)) {
    const nearest = Number(word) < 0 ? 0 : 127;
    return `${where}: note numbers run from 0 to 127; the nearest is ${nearest}`;
  }
  // B natural is H in German: common practice, no source.
  const nearest = findNearest(word.replace(/^[Hh]/u, 'B'), noteNames);
  const advice = nearest === undefined ? '' : `; perhaps ${nearest}`;
  return `${where}: a note is a name with its octave from C-1 to G9, like Eb3, or a number${advice}`;
}

/** Where a chord without octaves begins. */
const firstOctave = 3;

/** The next of that name above the note before. */
function noteAbove(word: string, before: number): WrittenNote | undefined {
  const spelled = parsePitchClass(word);
  if (spelled === undefined) return undefined;
  const midi = before + 1 + ((pitchClassOfSpelled(spelled) - before - 1 + 132) % 12);
  return midi > 127 ? undefined : { midi, spelled };
}

/**
 * Names without octaves go upward from the first. That one is in no octave only where no other has
 * one: 'C E4' leaves open where C is.
 */
function notesFrom(words: readonly string[]): Part<readonly WrittenNote[]> {
  const areAllBare = words.every((word) => parsePitchClass(word) !== undefined);
  const notes: WrittenNote[] = [];
  for (const [index, word] of words.entries()) {
    const before = notes.at(-1)?.midi ?? (areAllBare ? 12 * (firstOctave + 1) - 1 : undefined);
    const note =
      parseWrittenNote(word) ?? (before === undefined ? undefined : noteAbove(word, before));
    if (note === undefined) {
      return { ok: false, problem: noteProblem(word, index, words.length) };
    }
    notes.push(note);
  }
  return { ok: true, value: notes };
}
