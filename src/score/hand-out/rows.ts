/**
 * What a hand-out says, before it is laid out: the facts of the piece in a line, and a row for each
 * chord. Text and page are made from the same rows.
 */
import { formatKey } from '../../harmony/key/key.ts';
import { functionName } from '../../harmony/key/numeral.ts';
import { formatBeatNote } from '../../midi/beat-note.ts';
import { placesIn } from '../beat-position.ts';
import {
  keyAt,
  type Progression,
  type ProgressionChord,
  type ProgressionNote,
  type ToldWhy,
  tempoMarkOf,
} from '../progression.ts';
import type { Blanks } from './blanks.ts';

/** To be filled in. */
export const blank = Symbol('blank');
export type Blank = typeof blank;

export type HandOutRow = {
  /** Bar and beat: '3.1'. */
  readonly place: string;
  /** Where the chord begins on the page, in ticks. */
  readonly tick: number;
  /** As written or heard; '' where the chord before sounds on in another voicing. */
  readonly symbol: string | Blank;
  /** What it is in the key, or ''. */
  readonly numeral: string;
  readonly sounds: string | Blank;
  readonly notes: readonly ProgressionNote[] | Blank;
  /** How many notes sound: as many places are there to be filled in. */
  readonly voices: number;
  readonly label: string | Blank;
  /** Absent where something is to be filled in: it would say what. */
  readonly explanation?: ToldWhy | undefined;
};

/** 'Eb major', or 'Eb major, then G minor' where it turns. */
function keysOf({ key, keys = [] }: Progression): string {
  const all = [key, ...keys.map((each) => each.key)];
  return all.flatMap((each) => (each === undefined ? [] : [formatKey(each)])).join(', then ');
}

export function factsLine(progression: Progression): readonly string[] {
  const { metres, grid } = progression;
  const tempo = tempoMarkOf(progression);
  const [metre] = metres;
  return [
    keysOf(progression),
    metre === undefined ? '' : `${metre.beats}/${metre.unit}`,
    `${Math.round(tempo.perMinute)} ${formatBeatNote(tempo.note)} notes a minute`,
    grid === '' ? '' : `written in ${grid}`,
  ].filter((fact) => fact !== '');
}

/** With names left out the degrees go too: they would say which chord it is. */
function notesOf({ notes }: ProgressionChord, blanks: Blanks): HandOutRow['notes'] {
  if (notes.length === 0) return [];
  if (blanks.includes('notes')) return blank;
  return blanks.includes('names') ? notes.map((note) => ({ ...note, degree: '' })) : notes;
}

function labelOf({ label, leftOut = [] }: ProgressionChord, blanks: Blanks): string | Blank {
  if (blanks.includes('techniques')) return blank;
  const isTold = blanks.length === 0 && leftOut.length > 0;
  return isTold ? `${label}; left out: ${leftOut.join(', ')}` : label;
}

/** The symbol, its numeral and what sounds. */
function namesOf(chord: ProgressionChord, key: Progression['key']) {
  const { symbol, sounds, isRevoiced } = chord;
  if (isRevoiced === true) return { symbol: '', numeral: '', sounds };
  return { symbol: symbol || '–', numeral: functionName(symbol, key).numeral, sounds };
}

const unnamed = { symbol: blank, numeral: '', sounds: blank } as const;

export function rowsOf(progression: Progression, blanks: Blanks = []): readonly HandOutRow[] {
  const placeOf = placesIn(progression);
  return progression.chords.map((chord) => {
    // Nothing is left out of silence.
    const asked = chord.notes.length === 0 ? [] : blanks;
    return {
      place: placeOf(chord.tick),
      tick: chord.tick,
      ...(asked.includes('names') ? unnamed : namesOf(chord, keyAt(progression, chord.tick))),
      notes: notesOf(chord, asked),
      voices: chord.notes.length,
      label: labelOf(chord, asked),
      explanation: blanks.length === 0 ? chord.explanation : undefined,
    };
  });
}

export function titleOf({ title }: Progression): string {
  return title === '' ? 'Voicings' : title;
}

/** The treatments of a piece in their order; the parts of players are one. */
export function treatmentsOf(piece: Progression): readonly Progression[] {
  return piece.player === undefined ? [piece, ...(piece.below ?? [])] : [piece];
}

/** What it is called; a number where its name is the question, '' where it stands alone. */
export function treatmentName(piece: Progression, place: number, blanks: Blanks = []): string {
  const treatments = treatmentsOf(piece);
  if (treatments.length === 1) return '';
  const name = blanks.includes('techniques') ? '' : (treatments[place]?.name ?? '');
  return `${place + 1} ${name}`.trim();
}

export type CitedRule = { readonly number: number; readonly source: string };

/** Rules with the numbers they are cited by, in the order in which they are first needed. */
export function citedRules(pieces: readonly Progression[]): ReadonlyMap<string, CitedRule> {
  const numbers = new Map<string, CitedRule>();
  for (const { chords } of pieces.flatMap(treatmentsOf)) {
    for (const { rule, source } of chords.flatMap(({ explanation }) => explanation?.rules ?? [])) {
      if (!numbers.has(rule)) numbers.set(rule, { number: numbers.size + 1, source });
    }
  }
  return numbers;
}

/** Of all that is used, each once. */
export function techniquesIn(
  pieces: readonly Progression[],
): readonly { readonly definition: string; readonly source: string }[] {
  const all = pieces.flatMap(treatmentsOf).flatMap(({ techniques = [] }) => techniques);
  return [...new Map(all.map((each) => [each.definition, each])).values()];
}
