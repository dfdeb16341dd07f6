/**
 * The instruments and voices that parts are written for: shared/instruments.json as values. Notes are
 * MIDI note numbers as they sound.
 */
import data from '../../shared/instruments.json' with { type: 'json' };
import { parseNote } from '../harmony/pitch/pitch-name.ts';
import type { Register } from '../voicing/register.ts';

export const clefNames = ['treble', 'treble-8vb', 'alto', 'bass'] as const;
export type ClefName = (typeof clefNames)[number];

/** From written to sounding. */
export type Transposition = {
  /** Semitones. */
  readonly chromatic: number;
  /** Steps of the staff. */
  readonly diatonic: number;
};

export type Strings = {
  /** Open strings that a voicing is played on, lowest first. */
  readonly open: readonly number[];
  readonly frets: number;
  readonly comfortableFrets: number;
  /** Frets from the lowest to the highest that are stopped at once. */
  readonly reach: number;
};

export type Instrument = {
  readonly id: string;
  readonly name: string;
  readonly abbreviation: string;
  readonly aliases: readonly string[];
  readonly family: string;
  /** Of the part. */
  readonly clef: ClefName;
  /** In a score at concert pitch. */
  readonly concertClef: ClefName;
  readonly transposition: Transposition;
  readonly range: Register;
  readonly comfortable: Register;
  /** Absent: it plays one note at a time. */
  readonly strings?: Strings;
  /** General MIDI, 1–128. */
  readonly program: number;
  /** MusicXML 4.0's name of what it sounds like. */
  readonly sound: string;
  readonly source: string;
};

type Row = (typeof data.instruments)[number];

/** @throws Error for a name that is no note: the table is ours. */
function noteOf(name: string | undefined, id: string): number {
  const note = parseNote(name ?? '');
  if (note === undefined) throw new Error(`shared/instruments.json: ${id} has no note ${name}`);
  return note;
}

function registerOf([lowest, highest]: readonly string[], id: string): Register {
  return { lowest: noteOf(lowest, id), highest: noteOf(highest, id) };
}

function clefOf(name: string, id: string): ClefName {
  const clef = clefNames.find((each) => each === name);
  if (clef === undefined) throw new Error(`shared/instruments.json: ${id} has no clef ${name}`);
  return clef;
}

function instrumentOf(row: Row): Instrument {
  const { id, name, abbreviation, aliases, family, program, sound, source } = row;
  const clef = clefOf(row.clef, id);
  const { strings } = row;
  return {
    ...{ id, name, abbreviation, aliases, family, program, sound, source, clef },
    concertClef: row.concertClef === undefined ? clef : clefOf(row.concertClef, id),
    transposition: row.transposition ?? { chromatic: 0, diatonic: 0 },
    range: registerOf(row.range, id),
    comfortable: registerOf(row.comfortable, id),
    ...(strings !== undefined && {
      strings: { ...strings, open: strings.open.map((each) => noteOf(each, id)) },
    }),
  };
}

export const instruments: readonly Instrument[] = data.instruments.map(instrumentOf);

/** Sections that go by one name. */
export type NamedEnsemble = {
  readonly id: string;
  readonly aliases: readonly string[];
  /** Ids of instruments, in the order of the score. */
  readonly players: readonly string[];
};

export const namedEnsembles: readonly NamedEnsemble[] = data.ensembles;

const byId = new Map(instruments.map((each) => [each.id, each]));

/** @throws Error for an id that is none: ids come from the table. */
export function instrumentById(id: string): Instrument {
  const instrument = byId.get(id);
  if (instrument === undefined) throw new Error(`there is no instrument '${id}'`);
  return instrument;
}
