/**
 * Presets on the disk: those that came with Handspan, and the user's own. A broken file of the
 * user's is reported and left out; it never keeps the others from loading. One that has the name of
 * a shipped preset is left out too: a name must mean the same on every machine.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { isDeepStrictEqual } from 'node:util';
import type { Result } from '../../common/result.ts';
import { formatPreset, fromFileForm, type PresetFile } from '../../presets/file-form.ts';
import type { Preset } from '../../presets/preset.ts';
import { formatProblem, type Problem } from '../../presets/problem.ts';
import { findBrokenRules } from '../../presets/rules.ts';
import { packageFolder } from './folders.ts';
import { withLock } from './lock.ts';
import { makeFolder } from './make-folder.ts';
import { mergedByKey } from './merge.ts';
import { writeProblem } from './output-file.ts';
import { decodeText, describeFileError, readTextFile } from './text-file.ts';
import { codeOf, renamePatiently, writeNew, writeWhole } from './whole-file.ts';

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

/** The names that no preset of the user's can have. */
export async function shippedPresetIds(): Promise<readonly string[]> {
  const names = await listFolder(shippedPresetsFolder());
  return names.ok ? names.value.map(presetIdOf) : [];
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
  const shipped = await readFolder(shippedFolder, 'shipped', []);
  const taken = shipped.entries.map(({ preset }) => preset.id);
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

export type SavedPreset = {
  readonly file: string;
  /** With what somebody else changed in the file meanwhile. */
  readonly preset: Preset;
  /** What else became of the file, in words to put after where it is; usually ''. */
  readonly remark: string;
};

/**
 * Writes a preset into the user's folder under an id that no file has: `idOf(1)`, or `idOf(2)` and so
 * on. A problem is one sentence.
 * @param nameProblem what is wrong with its name beside those that are in the folder by now; '' for
 * nothing. Another process may have made one since they were read.
 */
export function saveNewPreset(
  folder: string,
  preset: Preset,
  idOf: (number: number) => string,
  nameProblem: (others: readonly NamedPreset[]) => string = () => '',
): Result<SavedPreset> {
  try {
    makeFolder(folder);
    return withLock(folder, () => {
      const problem = nameProblem(namesIn(folder));
      return problem === '' ? writeUnderFreeId(folder, preset, idOf) : { ok: false, problem };
    });
  } catch (error) {
    return unsaved(fileOf(folder, { ...preset, id: idOf(1) }), error);
  }
}

function writeUnderFreeId(
  folder: string,
  preset: Preset,
  idOf: (number: number) => string,
): Result<SavedPreset> {
  for (let number = 1; ; number++) {
    const named = { ...preset, id: idOf(number) };
    const file = fileOf(folder, named);
    try {
      if (existsSync(file)) continue;
      writeNew(file, textOf(named));
      return { ok: true, value: { file, preset: named, remark: '' } };
    } catch (error) {
      // Somebody else made one of that name at this moment.
      if (codeOf(error) !== 'EEXIST') return unsaved(file, error);
    }
  }
}

export type NamedPreset = Pick<Preset, 'id' | 'name'>;

/** Of the user's presets that are in the folder now; files that say no name are passed over. */
export function namesIn(folder: string): readonly NamedPreset[] {
  try {
    const files = readdirSync(folder).filter((name) => /^[^.].*\.json$/i.test(name));
    return files.flatMap((file) => {
      const name = nameInFile(join(folder, file));
      return name === undefined ? [] : [{ id: presetIdOf(file), name }];
    });
  } catch {
    // A folder that is not there has none; one that cannot be read is told where it is written to.
    return [];
  }
}

function nameInFile(file: string): string | undefined {
  try {
    const { name } = JSON.parse(decodeText(readFileSync(file))) as { readonly name?: unknown };
    return typeof name === 'string' ? name : undefined;
  } catch {
    return undefined;
  }
}

/**
 * Writes a preset of the user's back, whole or not at all. What another process or an editor changed
 * in the file since it was read as `base` stays; what contradicts this one is set aside.
 */
export async function saveOwnPreset(
  folder: string,
  preset: Preset,
  base: Preset,
): Promise<Result<SavedPreset>> {
  const file = fileOf(folder, preset);
  const { parsePreset } = await import('../../presets/parse.ts');
  const read = (): Preset | undefined => {
    try {
      const parsed = parsePreset(decodeText(readFileSync(file)), preset.id);
      return parsed.ok ? parsed.value : undefined;
    } catch {
      return undefined;
    }
  };
  try {
    makeFolder(folder);
    return withLock(folder, () => {
      const { merged, remark } = existsSync(file)
        ? put(file, preset, base, read())
        : { merged: preset, remark: '' };
      writeWhole(file, textOf(merged));
      return { ok: true, value: { file, preset: merged, remark } };
    });
  } catch (error) {
    return unsaved(file, error);
  }
}

/** What is to be written where `theirs` is; undefined: a file that is no preset. */
function put(
  file: string,
  preset: Preset,
  base: Preset,
  theirs: Preset | undefined,
): { readonly merged: Preset; readonly remark: string } {
  if (theirs === undefined) {
    return { merged: preset, remark: `; what was there is broken, and kept as ${setAside(file)}` };
  }
  if (isDeepStrictEqual(theirs, base)) return { merged: preset, remark: '' };
  // Every property is one of theirs or of ours, so that together they are a preset again.
  const merged = mergedByKey(base, preset, theirs) as Preset;
  if (findBrokenRules(merged).length === 0) {
    return { merged, remark: ', with what had been changed there meanwhile' };
  }
  return {
    merged: preset,
    remark: `; what had been changed there meanwhile does not go with it, and is kept as ${setAside(file)}`,
  };
}

/** Moves it where no preset is read from; returns its name. @throws as node:fs does. */
function setAside(file: string): string {
  let aside = `${file}.before`;
  for (let number = 2; existsSync(aside); number++) aside = `${file}.before-${number}`;
  renamePatiently(file, aside);
  return basename(aside);
}

function fileOf(folder: string, { id }: Preset): string {
  return join(folder, `${id}.json`);
}

function textOf(preset: Preset): string {
  return formatPreset(preset, pathToFileURL(presetSchemaFile()).href);
}

function unsaved(file: string, error: unknown): Result<never> {
  return {
    ok: false,
    problem: `The preset could not be saved in ${file}: ${writeProblem(error)}.`,
  };
}

/** Why a file of that name in the user's folder is left out, to put after it; '' when it is not. */
export function leftOutFor(file: string, shipped: readonly string[]): string {
  const id = presetIdOf(file).toLowerCase();
  if (!/^[^.].*\.json$/i.test(basename(file))) {
    return "is left out for its name: a preset's file ends in .json and does not begin with a full stop";
  }
  return shipped.some((each) => each.toLowerCase() === id)
    ? 'has the name of a preset that came with Handspan'
    : '';
}

async function readFolder(
  folder: string,
  origin: PresetEntry['origin'],
  taken: readonly string[],
): Promise<PresetCollection> {
  const names = await listFolder(folder);
  if (!names.ok) return { entries: [], problems: names.problems };
  const entries: PresetEntry[] = [];
  const problems: string[] = [];
  for (const name of names.value) {
    const file = join(folder, name);
    const leftOut = leftOutFor(file, taken);
    if (leftOut !== '') {
      problems.push(`${file} ${leftOut}; rename the file.`);
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
  const { parsePreset } = await import('../../presets/parse.ts');
  const parsed = parsePreset(text, presetIdOf(file));
  if (parsed.ok) return parsed;
  const sentences = parsed.problems.map((problem) => formatProblem(file, problem));
  return { ...parsed, sentences };
}
