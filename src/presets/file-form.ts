/**
 * A preset as its file holds it: without the id, which is the file's name; notes as numbers or
 * names; what is left out stands in the schema as default.
 */
import schema from '../../shared/preset.schema.json' with { type: 'json' };
import { formatNoteName, parseNoteName } from './note-name.ts';
import type { BassPolicy, Gathering, Preset, Register } from './preset.ts';

type NoteInFile = number | string;

export type PresetFile = Pick<
  Preset,
  'name' | 'about' | 'strategy' | 'voices' | 'growth' | 'family'
> & {
  readonly $schema?: string;
  readonly upper: { readonly lowest: NoteInFile; readonly highest: NoteInFile };
  readonly bass?: {
    readonly policy: BassPolicy;
    readonly lowest?: NoteInFile;
    readonly highest?: NoteInFile;
  };
  readonly gathering?: { readonly mode: Gathering; readonly ceilingMilliseconds?: number };
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
] as const;

/** MIDI note number, or undefined for a name outside C-1 to G9. */
export function noteNumber(note: NoteInFile): number | undefined {
  return typeof note === 'number' ? note : parseNoteName(note);
}

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
      ...toRegister(bass?.lowest ?? defaults.bassLowest, bass?.highest ?? defaults.bassHighest),
    },
    growth: file.growth,
    ...(file.family === undefined ? {} : { family: file.family }),
    gathering: {
      mode: gathering?.mode ?? 'fixed',
      ceilingMilliseconds: gathering?.ceilingMilliseconds ?? defaults.ceilingMilliseconds,
    },
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
    bass: { policy: preset.bass.policy, ...fromRegister(preset.bass) },
    growth: preset.growth,
    ...(preset.family === undefined ? {} : { family: preset.family }),
    gathering: preset.gathering,
  };
  return `${JSON.stringify(file, null, 2)}\n`;
}

function toRegister(low: NoteInFile, high: NoteInFile): Register {
  const lowest = noteNumber(low);
  const highest = noteNumber(high);
  if (lowest === undefined || highest === undefined) {
    throw new RangeError(`A register from ${low} to ${high} has passed the check of its notes.`);
  }
  return { lowest, highest };
}

function fromRegister({ lowest, highest }: Register): { lowest: string; highest: string } {
  return { lowest: formatNoteName(lowest), highest: formatNoteName(highest) };
}
