/**
 * A folder of files that belong together: there whole or not at all. It is written beside its place
 * under another name and then renamed. One that exists is replaced when that was asked for, and only
 * where it holds nothing but what was written there before, by the list that stands in it.
 */
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import type { Result } from '../../common/result.ts';
import { writeProblem } from './output-file.ts';
import { notePartial, partialOf } from './partial-files.ts';
import { renamePatiently } from './whole-file.ts';

export type FolderFile = { readonly name: string; readonly content: Uint8Array | string };

export type OutputFolder = {
  /** Where it will be, as an absolute path. */
  readonly path: string;
  /** Writes all of it. The first file that is a problem is the end of it: nothing is left then. */
  readonly save: (files: AsyncIterable<Result<FolderFile>>) => Promise<Result<string>>;
};

export type FolderWish = {
  /** For sentences: 'parts'. */
  readonly what: string;
  /** The file in it that lists all files, as JSON with a field "files". */
  readonly list: string;
  readonly isOverwriting: boolean;
};

/** Looks at the place and proves that it can be written; leaves nothing there. */
export function prepareOutputFolder(folder: string, wish: FolderWish): Result<OutputFolder> {
  const path = resolve(folder);
  const problem = problemWith(folder, path, wish);
  if (problem !== '') return { ok: false, problem };
  return { ok: true, value: { path, save: (files) => save(path, files, wish) } };
}

function isFolder(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isDirectory() ?? false;
}

/** One sentence, or ''. */
function problemWith(folder: string, path: string, wish: FolderWish): string {
  const { what } = wish;
  const cannot = `The ${what} cannot be written to ${folder}`;
  if (folder.trim() === '') return `The folder for the ${what} has no name.`;
  try {
    if (!isFolder(dirname(path))) {
      return `${cannot}: there is no folder ${dirname(path)}; make it first.`;
    }
    if (existsSync(path) && !isFolder(path)) {
      return `${cannot}: that is a file; choose another name.`;
    }
    const inTheWay = existsSync(path) ? problemWithExisting(folder, path, wish) : '';
    if (inTheWay !== '') return inTheWay;
    const trial = partialOf(path);
    mkdirSync(trial);
    rmSync(trial, { recursive: true, force: true });
    return '';
  } catch (error) {
    return `${cannot}: ${writeProblem(error)}; choose another folder.`;
  }
}

function problemWithExisting(
  folder: string,
  path: string,
  { what, list, isOverwriting }: FolderWish,
): string {
  const names = readdirSync(path);
  if (names.length === 0) return '';
  if (!isOverwriting) {
    return `The ${what} would overwrite what is in ${folder}: choose another folder, or add --force.`;
  }
  const own = listedIn(join(path, list));
  const stranger = names.find((name) => !own.includes(name));
  if (stranger === undefined) return '';
  return `${folder} holds ${stranger}, which is none of the ${what}, and would be lost with the folder: move it, or choose another folder.`;
}

function listedIn(path: string): readonly string[] {
  try {
    const { files } = JSON.parse(readFileSync(path, 'utf8')) as { readonly files?: unknown };
    return Array.isArray(files) ? files.map(String) : [];
  } catch {
    // No list, or none of ours: then nothing in the folder is known.
    return [];
  }
}

async function save(
  path: string,
  files: AsyncIterable<Result<FolderFile>>,
  wish: FolderWish,
): Promise<Result<string>> {
  const partial = partialOf(path);
  const forget = notePartial(partial);
  try {
    rmSync(partial, { recursive: true, force: true });
    mkdirSync(partial);
    for await (const file of files) {
      if (!file.ok) return file;
      writeFileSync(join(partial, file.value.name), file.value.content, {
        flag: 'wx',
        flush: true,
      });
    }
    return putInPlace(partial, path, wish);
  } catch (error) {
    const problem = `The ${wish.what} could not be written to ${path}: ${writeProblem(error)}.`;
    return { ok: false, problem };
  } finally {
    rmSync(partial, { recursive: true, force: true });
    forget();
  }
}

/** What was there steps aside until the new one stands. @throws as node:fs does. */
function putInPlace(partial: string, path: string, wish: FolderWish): Result<string> {
  if (!existsSync(path)) {
    renamePatiently(partial, path);
    return { ok: true, value: path };
  }
  // Somebody may have put something there since.
  const problem = problemWithExisting(path, path, wish);
  if (problem !== '') return { ok: false, problem };
  const before = `${partial}.before`;
  renamePatiently(path, before);
  try {
    renamePatiently(partial, path);
  } catch (error) {
    renameSync(before, path);
    throw error;
  }
  rmSync(before, { recursive: true, force: true });
  return { ok: true, value: path };
}
