/** The lines above the music: title, key, metre, tempo. */
import { type Key, parseKey } from '../harmony/key.ts';
import { commonTime, type Metre, metreForms, parseMetre } from '../midi/metre.ts';
import { adviseNearest } from '../presets/nearest.ts';
import { plainTempo } from './chart.ts';

export type Heading = {
  title: string;
  key: Key | undefined;
  metre: Metre;
  tempo: number;
};

export function plainHeading(): Heading {
  return { title: '', key: undefined, metre: commonTime, tempo: plainTempo };
}

const names = ['title', 'key', 'metre', 'tempo'] as const;
type Name = (typeof names)[number];

/** Three letters at least, so that no chord label with a colon is taken for a heading. */
const pattern = /^(\s*)([A-Za-z]{3,})(\s*):(?!\|)\s*(.*?)\s*$/u;

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
  const [, indent = '', name = '', , value = ''] = match;
  const valueColumn = value === '' ? line.length + 1 : line.lastIndexOf(value) + 1;
  return { name, value, nameColumn: indent.length + 1, valueColumn };
}

const slowest = 20;
const fastest = 400;

/** Writes one line into the heading; the problem is a sentence, and where it is. */
export function readHeading(
  line: HeadingLine,
  heading: Heading,
): { readonly column: number; readonly message: string } | undefined {
  const { value, valueColumn } = line;
  const name = line.name.toLowerCase();
  if (!isName(name)) {
    return {
      column: line.nameColumn,
      message: `'${line.name}:' is no line of a chart${adviseNearest(name, names)}; there are ${names.join(', ')}.`,
    };
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
      heading.title = value;
      return undefined;
    case 'key': {
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
    case 'tempo': {
      const tempo = Number(value);
      if (!(tempo >= slowest && tempo <= fastest)) {
        return `'${value}' is no tempo; give ${slowest} to ${fastest} beats a minute.`;
      }
      heading.tempo = tempo;
      return undefined;
    }
  }
}
