/**
 * Presets on the disk: those that came with Handspan, and the user's own. A broken file of the
 * user's is reported and left out; it never keeps the others from loading. One that has the name of
 * a shipped preset is left out too: a name must mean the same on every machine.
 */
import { readdir, rename, rm, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { formatPreset, fromFileForm, type PresetFile } from '../presets/file-form.ts';
import type { Preset } from '../presets/preset.ts';
import { formatProblem, type Problem } from '../presets/problem.ts';
import { findBrokenRules } from '../presets/rules.ts';
import { packageFolder } from './folders.ts';
import { makeFolder } from './make-folder.ts';
import type { Result } from './result.ts';
import { describeFileError, readTextFile } from './text-file.ts';

export type PresetEntry = {
  readonly preset: Preset;
  readonly origin: 'shipped' | 'own';
  readonly file: string;
};

export type PresetCollection = {
  /** Shipped ones first, each group in the order of its names. */
  readonly entries: readonly PresetEntry[];
  /** One sentence for each thing wrong with a file that was left out. */
  readonly problems: readonly string[];
};

export type CheckedFile =
  | { readonly ok: true; readonly value: Preset }
  | {
      readonly ok: false;
      /** With places; empty when the file could not be read at all. */
      readonly problems: readonly Problem[];
      /** The same as sentences with the file's name. */
      readonly sentences: readonly string[];
    };

export function shippedPresetsFolder(): string {
  return join(packageFolder(), 'presets');
}

/** Where the schema is, for the `$schema` of a preset that begins as a copy. */
export function presetSchemaFile(): string {
  return join(packageFolder(), 'shared', 'preset.schema.json');
}

/** The command line's name for a preset file: 'fourths-over-root' for 'fourths-over-root.json'. */
export function presetIdOf(file: string): string {
  return basename(file).replace(/\.json$/i, '');
}

/** Never throws for anything in the user's folder, which may be missing. */
export async function readPresets(
  ownFolder: string,
  shippedFolder: string = shippedPresetsFolder(),
): Promise<PresetCollection> {
  const shipped = await readFolder(shippedFolder, 'shipped', new Set());
  const taken = new Set(shipped.entries.map(({ preset }) => preset.id.toLowerCase()));
  const own = await readFolder(ownFolder, 'own', taken);
  return {
    entries: [...shipped.entries, ...own.entries],
    problems: [...shipped.problems, ...own.problems],
  };
}

/** Reads and checks one file, wherever it is. */
export async function checkPresetFile(file: string): Promise<CheckedFile> {
  const text = await readTextFile(file);
  if (!text.ok) return { ok: false, problems: [], sentences: [text.problem] };
  return checkText(text.value, file);
}

/**
 * Writes a preset into the user's folder under its id, whole or not at all; a file of that name is
 * replaced. The value is the file; a problem is one sentence.
 */
export async function saveOwnPreset(folder: string, preset: Preset): Promise<Result<string>> {
  const file = join(folder, `${preset.id}.json`);
  const partial = join(folder, `.${preset.id}.${process.pid}.partial`);
  try {
    makeFolder(folder);
    await writeFile(partial, formatPreset(preset, pathToFileURL(presetSchemaFile()).href));
    await rename(partial, file);
    return { ok: true, value: file };
  } catch (error) {
    await rm(partial, { force: true }).catch(() => {});
    const reason = describeFileError(error);
    return { ok: false, problem: `The preset could not be saved in ${file}: ${reason}.` };
  }
}

async function readFolder(
  folder: string,
  origin: PresetEntry['origin'],
  taken: ReadonlySet<string>,
): Promise<PresetCollection> {
  const names = await listFolder(folder);
  if (!names.ok) return { entries: [], problems: names.problems };
  const entries: PresetEntry[] = [];
  const problems: string[] = [];
  for (const name of names.value) {
    const file = join(folder, name);
    if (taken.has(presetIdOf(file).toLowerCase())) {
      problems.push(`${file} has the name of a preset that came with Handspan; rename the file.`);
      continue;
    }
    const read = origin === 'shipped' ? await readShipped(file) : await checkPresetFile(file);
    if (read.ok) entries.push({ preset: read.value, origin, file });
    else problems.push(...read.sentences);
  }
  return { entries, problems };
}

type Listing =
  | { readonly ok: true; readonly value: readonly string[] }
  | { readonly ok: false; readonly problems: readonly string[] };

async function listFolder(folder: string): Promise<Listing> {
  try {
    const names = await readdir(folder);
    return {
      ok: true,
      value: names.filter((name) => /^[^.].*\.json$/i.test(name)).sort(),
    };
  } catch (error) {
    // Nobody must make the folder before having a preset to put there.
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') {
      return { ok: true, value: [] };
    }
    const problem = `The presets in ${folder} cannot be read: ${describeFileError(error)}.`;
    return { ok: false, problems: [problem] };
  }
}

/**
 * Shipped presets are checked by the tests, so the start does not wait some 50 ms for the schema's
 * validator. Only when somebody has edited one into something else is it called, to say what.
 */
async function readShipped(file: string): Promise<CheckedFile> {
  const text = await readTextFile(file);
  if (!text.ok) return { ok: false, problems: [], sentences: [text.problem] };
  try {
    const preset = fromFileForm(JSON.parse(text.value) as PresetFile, presetIdOf(file));
    if (findBrokenRules(preset).length === 0) return { ok: true, value: preset };
  } catch {
    // Said with its place below.
  }
  return checkText(text.value, file);
}

async function checkText(text: string, file: string): Promise<CheckedFile> {
  const { parsePreset } = await import('../presets/parse.ts');
  const parsed = parsePreset(text, presetIdOf(file));
  if (parsed.ok) return parsed;
  const sentences = parsed.problems.map((problem) => formatProblem(file, problem));
  return { ...parsed, sentences };
}
