/**
 * A preset as its file holds it: without the id, which is the file's name; notes as numbers or
 * names; what is left out stands in the schema as default.
 */
import schema from '../../shared/preset.schema.json' with { type: 'json' };
import type { Kept } from '../voicing/kept.ts';
import { type NoteInFile, noteNumber, toRegister } from './note-in-file.ts';
import { formatNoteName } from './note-name.ts';
import { fromPlayingFile, type PlayingFile, toPlayingFile } from './playing-file.ts';
import type { BassPolicy, Gathering, Preset, Register } from './preset.ts';

export { type NoteInFile, noteNumber };

export type KeptInFile = Omit<Kept, 'bass' | 'upper'> & {
  readonly bass?: NoteInFile;
  readonly upper: readonly NoteInFile[];
};

/** Fields that a file holds in another form than the program, or that every preset has. */
const withOwnForm = [
  ...(['name', 'about', 'strategy', 'voices', 'growth'] as const),
  ...(['upper', 'bass', 'kept', 'gathering', 'playing'] as const),
] as const;

/** What a preset may leave out, held alike in a file and in the program. */
type Choices = Omit<Preset, 'id' | (typeof withOwnForm)[number]>;

/** All other fields of the schema, in its order. */
const choiceNames = Object.keys(schema.properties).filter(
  (name) => name !== '$schema' && !withOwnForm.some((each) => each === name),
) as readonly (keyof Choices)[];

export type PresetFile = Pick<Preset, 'name' | 'about' | 'strategy' | 'voices' | 'growth'> &
  Choices & {
    readonly $schema?: string;
    readonly upper: { readonly lowest: NoteInFile; readonly highest: NoteInFile };
    readonly bass?: {
      readonly policy: BassPolicy;
      readonly pedal?: NoteInFile;
      readonly lowest?: NoteInFile;
      readonly highest?: NoteInFile;
    };
    readonly kept?: readonly KeptInFile[];
    readonly gathering?: { readonly mode: Gathering; readonly ceilingMilliseconds?: number };
    readonly playing?: PlayingFile;
  };

const defaults = {
  bassLowest: schema.properties.bass.properties.lowest.default,
  bassHighest: schema.properties.bass.properties.highest.default,
  ceilingMilliseconds: schema.properties.gathering.properties.ceilingMilliseconds.default,
} as const;

/** The ways to the notes of a file, for problems with a name such as 'A9', beyond MIDI's range. */
export const notePaths = [
  ['upper', 'lowest'],
  ['upper', 'highest'],
  ['bass', 'lowest'],
  ['bass', 'highest'],
  ['bass', 'pedal'],
  ['playing', 'zone', 'lowest'],
  ['playing', 'zone', 'highest'],
] as const;

/** `file` has passed the schema, and its notes lie within MIDI's range; else a throw. */
export function fromFileForm(file: PresetFile, id: string): Preset {
  const { bass, gathering } = file;
  return {
    id,
    name: file.name,
    about: file.about,
    strategy: file.strategy,
    voices: file.voices,
    upper: toRegister(file.upper.lowest, file.upper.highest),
    bass: {
      policy: bass?.policy ?? 'root',
      ...pedalOf(bass?.pedal),
      ...toRegister(bass?.lowest ?? defaults.bassLowest, bass?.highest ?? defaults.bassHighest),
    },
    growth: file.growth,
    ...choicesOf(file),
    ...(file.kept !== undefined && { kept: file.kept.map(fromKeptInFile) }),
    gathering: {
      mode: gathering?.mode ?? 'adaptive',
      ceilingMilliseconds: gathering?.ceilingMilliseconds ?? defaults.ceilingMilliseconds,
    },
    ...(file.playing !== undefined && { playing: fromPlayingFile(file.playing) }),
  };
}

/**
 * The text of a preset's file: everything said, notes by name. `schemaAddress` goes into `$schema`,
 * so that an editor completes and checks.
 */
export function formatPreset(preset: Preset, schemaAddress?: string): string {
  const file: PresetFile = {
    ...(schemaAddress === undefined ? {} : { $schema: schemaAddress }),
    name: preset.name,
    about: preset.about,
    strategy: preset.strategy,
    voices: preset.voices,
    upper: fromRegister(preset.upper),
    bass: {
      policy: preset.bass.policy,
      ...(preset.bass.pedal === undefined ? {} : { pedal: formatNoteName(preset.bass.pedal) }),
      ...fromRegister(preset.bass),
    },
    growth: preset.growth,
    ...choicesOf(preset),
    ...(preset.kept !== undefined && { kept: preset.kept.map(toKeptInFile) }),
    gathering: preset.gathering,
    ...(preset.playing !== undefined && { playing: toPlayingFile(preset.playing) }),
  };
  return `${JSON.stringify(file, null, 2)}\n`;
}

/** Absent rather than undefined. */
function choicesOf(from: Choices): Choices {
  const said = choiceNames.filter((name) => from[name] !== undefined);
  return Object.fromEntries(said.map((name) => [name, from[name]]));
}

function fromKeptInFile({ bass, upper, ...rest }: KeptInFile): Kept {
  return {
    ...rest,
    ...(bass !== undefined && { bass: noteNumber(bass) ?? 0 }),
    upper: upper.map((note) => noteNumber(note) ?? 0),
  };
}

function toKeptInFile({ bass, upper, ...rest }: Kept): KeptInFile {
  return {
    ...rest,
    ...(bass !== undefined && { bass: formatNoteName(bass) }),
    upper: upper.map(formatNoteName),
  };
}

function pedalOf(note: NoteInFile | undefined): { readonly pedal?: number } {
  const pedal = note === undefined ? undefined : noteNumber(note);
  return pedal === undefined ? {} : { pedal };
}

function fromRegister({ lowest, highest }: Register): { lowest: string; highest: string } {
  return { lowest: formatNoteName(lowest), highest: formatNoteName(highest) };
}
