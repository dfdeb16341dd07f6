/**
 * The lines above the music: title, composer, style, key, metre, pick-up, tempo; and a key or a metre
 * among the lines of music.
 */
import { type Key, parseKey } from '../harmony/key/key.ts';
import { type BeatNote, parseBeatNote } from '../midi/beat-note.ts';
import { commonTime, type Metre, metreForms, parseMetre } from '../midi/metre.ts';
import { adviseNearest } from '../presets/nearest.ts';
import { plainTempo } from './chart.ts';

export type Heading = {
  title: string;
  composer: string;
  style: string;
  /** As the metre: that of the music from here on. */
  key: Key | undefined;
  /** That of the music from here on. */
  metre: Metre;
  /** Beats before the first bar; 0 for none. */
  pickup: number;
  tempo: number;
  /** As the tempo line says; absent: a beat of the metre. */
  beatNote: BeatNote | undefined;
  /** Each before the line of that name. */
  readonly comments: { readonly before: string; readonly words: string }[];
};

export function plainHeading(): Heading {
  return {
    ...{ title: '', composer: '', style: '', key: undefined, metre: commonTime, pickup: 0 },
    ...{ tempo: plainTempo, beatNote: undefined, comments: [] },
  };
}

const names = ['title', 'composer', 'style', 'key', 'metre', 'pickup', 'tempo'] as const;
type Name = (typeof names)[number];
/** The same in other words. */
const others: Readonly<Record<string, Name>> = { meter: 'metre', time: 'metre' };

/** Three letters at least, so that no chord label with a colon is taken for a heading. */
const pattern = /^(\s*)([A-Za-z]{3,})(\s*):(?!\|)\s*(.*)$/u;

export type HeadingLine = {
  readonly name: string;
  readonly value: string;
  /** From 1. */
  readonly nameColumn: number;
  readonly valueColumn: number;
};

/** Undefined when the line is no heading. */
export function headingLine(line: string): HeadingLine | undefined {
  const match = pattern.exec(line);
  if (match === null) return undefined;
  const [, indent = '', name = '', , rest = ''] = match;
  const value = rest.trimEnd();
  const valueColumn = value === '' ? line.length + 1 : line.lastIndexOf(value) + 1;
  return { name, value, nameColumn: indent.length + 1, valueColumn };
}

const slowest = 20;
const fastest = 400;

/**
 * Writes one line into the heading; the problem is a sentence, and where it is. `isBelow`: music
 * stands above it, and only the metre can change there.
 */
export function readHeading(
  line: HeadingLine,
  heading: Heading,
  isBelow: boolean,
): { readonly column: number; readonly message: string } | undefined {
  const { value, valueColumn } = line;
  const written = line.name.toLowerCase();
  const name = others[written] ?? written;
  if (!isName(name)) {
    return {
      column: line.nameColumn,
      message: `'${line.name}:' is no line of a chart${adviseNearest(name, names)}; there are ${names.join(', ')}.`,
    };
  }
  if (isBelow && name !== 'metre' && name !== 'key') {
    const message = `'${name}:' holds for the whole chart; set it above the music.`;
    return { column: line.nameColumn, message };
  }
  const problem = fill(name, value, heading);
  return problem === undefined ? undefined : { column: valueColumn, message: problem };
}

function isName(name: string): name is Name {
  return (names as readonly string[]).includes(name);
}

function fill(name: Name, value: string, heading: Heading): string | undefined {
  switch (name) {
    case 'title':
    case 'composer':
    case 'style':
      heading[name] = value;
      return undefined;
    case 'key': {
      if (value.toLowerCase() === 'none') {
        heading.key = undefined;
        return undefined;
      }
      const parsed = parseKey(value);
      if (!parsed.ok) return `${parsed.problem}.`;
      heading.key = parsed.value;
      return undefined;
    }
    case 'metre': {
      const metre = parseMetre(value);
      if (metre === undefined) {
        return `'${value}' is no metre; give ${metreForms}.`;
      }
      heading.metre = metre;
      return undefined;
    }
    case 'pickup': {
      const beats = Number(value);
      if (!(Number.isInteger(beats) && beats >= 1)) {
        return `'${value}' is no pick-up; give the whole beats before the first bar, such as 1.`;
      }
      heading.pickup = beats;
      return undefined;
    }
    case 'tempo':
      return readTempo(value, heading);
  }
}

/** '92', '92 bpm', 'quarter = 92', '4. = 60'. */
const tempoForm = /^(?:(.+?)\s*=\s*)?(\d+(?:\.\d+)?)\s*(?:b\.?p\.?m\.?)?$/iu;

function readTempo(value: string, heading: Heading): string | undefined {
  const [, note, number] = tempoForm.exec(value) ?? [];
  const beatNote = note === undefined ? undefined : parseBeatNote(note);
  if (note !== undefined && beatNote === undefined) {
    return `'${note}' is no note a tempo counts; give 'quarter = 92', 'dotted quarter = 60' or the like.`;
  }
  const tempo = Number(number);
  if (!(tempo >= slowest && tempo <= fastest)) {
    return `'${value}' is no tempo; give ${slowest} to ${fastest} beats a minute.`;
  }
  heading.tempo = tempo;
  heading.beatNote = beatNote;
  return undefined;
}
