/**
 * Where something made here goes on the disk. All that can be known to fail is said before the work
 * starts; no file is ever overwritten unless that was asked for; and the file appears whole or not
 * at all. A pipe or a device is written into, since nothing in it can be overwritten.
 */
import { existsSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, extname, join, resolve } from 'node:path';
import { keepRights, placeOf, writeInto } from './output-place.ts';
import type { Result } from './result.ts';

export type OutputFile = {
  /** Where it will be, as an absolute path. */
  readonly path: string;
  /**
   * Writes the file. The value is where it really is: beside the wished place when a file turned
   * up there meanwhile. A problem says where the take was saved instead, if anywhere.
   */
  readonly save: (bytes: Uint8Array) => Result<string>;
};

export type OutputWish = {
  /** For sentences: 'take', 'score'. */
  readonly what: string;
  /** A file name that would do. */
  readonly example: string;
  readonly isOverwriting: boolean;
};

/** Looks at the place and proves that it can be written; leaves nothing there. */
export function prepareOutputFile(
  file: string,
  { what, example, isOverwriting }: OutputWish,
): Result<OutputFile> {
  const path = resolve(file);
  const problem = problemWith(file, path, { what, example, isOverwriting });
  if (problem !== undefined) return { ok: false, problem };
  return { ok: true, value: { path, save: (bytes) => save(what, path, bytes, isOverwriting) } };
}

function problemWith(
  file: string,
  path: string,
  { what, example, isOverwriting }: OutputWish,
): string | undefined {
  const cannot = `The ${what} cannot be written to ${file}`;
  if (file.trim() === '') return `The file for the ${what} has no name.`;
  if (file === '-') return `${cannot}: name a file such as ${example} (./- for one called '-').`;
  const place = placeOf(path);
  if (place.kind === 'stream') return undefined;
  if (place.kind === 'other') {
    return `${cannot}: that is neither a file nor a pipe; choose another name.`;
  }
  const folder = dirname(path);
  if (!isFolder(folder) || !isFolder(dirname(place.path))) {
    return `${cannot}: there is no folder ${isFolder(folder) ? dirname(place.path) : folder}; make it first.`;
  }
  if (isFolder(path) || /[\\/]$/.test(file)) {
    return `${cannot}: that is a folder; add a file name such as ${example}.`;
  }
  if (existsSync(path) && !isOverwriting) {
    return `The ${what} would overwrite ${file}: choose another name, or add --force.`;
  }
  const trial = beside(place.path);
  try {
    writeFileSync(trial, '', { flag: 'wx' });
    rmSync(trial);
    return undefined;
  } catch (error) {
    return `${cannot}: ${writeProblem(error)}; choose another folder.`;
  }
}

function save(
  what: string,
  wished: string,
  bytes: Uint8Array,
  isOverwriting: boolean,
): Result<string> {
  try {
    const isKept = isOverwriting || placeOf(wished).kind === 'stream';
    return { ok: true, value: write(isKept ? wished : free(wished), bytes) };
  } catch (error) {
    const problem = `The ${what} could not be written to ${wished}: ${writeProblem(error)}`;
    return { ok: false, problem: `${problem}; ${rescue(wished, bytes)}.` };
  }
}

/** Some things cannot be made again, so a full disk or a pulled stick is not the end of it. */
function rescue(wished: string, bytes: Uint8Array): string {
  try {
    return `it is in ${write(free(join(tmpdir(), basename(wished))), bytes)} instead`;
  } catch {
    return 'and nowhere else either';
  }
}

function write(wished: string, bytes: Uint8Array): string {
  const { kind, path } = placeOf(wished);
  if (kind === 'stream') {
    writeInto(path, bytes);
    return path;
  }
  const partial = beside(path);
  try {
    writeFileSync(partial, bytes, { flush: true });
    keepRights(path, partial);
    renameSync(partial, path);
    return path;
  } catch (error) {
    rmSync(partial, { force: true });
    throw error;
  }
}

/** `path`, or the first of `name (2).mid`, `name (3).mid` … that does not exist. */
function free(path: string): string {
  const extension = extname(path);
  const stem = path.slice(0, path.length - extension.length);
  let candidate = path;
  for (let number = 2; existsSync(candidate); number++) {
    candidate = `${stem} (${number})${extension}`;
  }
  return candidate;
}

function beside(path: string): string {
  return join(dirname(path), `.${basename(path)}.${process.pid}.partial`);
}

function isFolder(path: string): boolean {
  try {
    return statSync(path, { throwIfNoEntry: false })?.isDirectory() ?? false;
  } catch {
    // Part of the path is a file, or the name is too long: the trial says which.
    return false;
  }
}

/** Why the system would not write, in a few words. */
export function writeProblem(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  const known: Readonly<Record<string, string>> = {
    EACCES: 'no permission to write there',
    EPERM: 'no permission to write there',
    EROFS: 'that disk is read-only',
    ENOSPC: 'that disk is full',
    ENAMETOOLONG: 'the name is too long',
    ENOTDIR: 'part of the path is a file',
    // The folder was there a moment ago: /proc and its like refuse new files so.
    ENOENT: 'that folder takes no files',
    ENXIO: 'nobody reads from that pipe',
    EPIPE: 'its reader went away',
    EAGAIN: 'its reader takes nothing',
  };
  return known[code] ?? (error instanceof Error ? error.message : String(error));
}
