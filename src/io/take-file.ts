/**
 * Where a take goes on the disk. All that can be known to fail is said before the playing starts;
 * no file is ever overwritten unless that was asked for; and the file appears whole or not at all.
 */
import { existsSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, dirname, extname, join, resolve } from 'node:path';
import type { Result } from './result.ts';

export type TakeFile = {
  /** Where the take will be, as an absolute path. */
  readonly path: string;
  /**
   * Writes the file. The value is where it really is: beside the wished place when a file turned
   * up there meanwhile. A problem says where the take was saved instead, if anywhere.
   */
  readonly save: (bytes: Uint8Array) => Result<string>;
};

/** Looks at the place and proves that it can be written; leaves nothing there. */
export function prepareTakeFile(
  file: string,
  options: { isOverwriting: boolean },
): Result<TakeFile> {
  const path = resolve(file);
  const problem = problemWith(file, path, options.isOverwriting);
  if (problem !== undefined) return { ok: false, problem };
  return { ok: true, value: { path, save: (bytes) => save(path, bytes, options.isOverwriting) } };
}

function problemWith(file: string, path: string, isOverwriting: boolean): string | undefined {
  if (file.trim() === '') return 'The file for the take has no name.';
  const folder = dirname(path);
  if (!isFolder(folder)) {
    return `The take cannot be written to ${file}: there is no folder ${folder}; make it first.`;
  }
  if (isFolder(path) || /[\\/]$/.test(file)) {
    return `The take cannot be written to ${file}: that is a folder; add a file name such as take.mid.`;
  }
  if (existsSync(path) && !isOverwriting) {
    return `The take would overwrite ${file}: choose another name, or add --force.`;
  }
  const trial = beside(path);
  try {
    writeFileSync(trial, '', { flag: 'wx' });
    rmSync(trial);
    return undefined;
  } catch (error) {
    return `The take cannot be written to ${file}: ${reason(error)}; choose another folder.`;
  }
}

function save(wished: string, bytes: Uint8Array, isOverwriting: boolean): Result<string> {
  try {
    return { ok: true, value: write(isOverwriting ? wished : free(wished), bytes) };
  } catch (error) {
    const problem = `The take could not be written to ${wished}: ${reason(error)}`;
    return { ok: false, problem: `${problem}; ${rescue(wished, bytes)}.` };
  }
}

/** A take cannot be played again, so a full disk or a pulled stick is not the end of it. */
function rescue(wished: string, bytes: Uint8Array): string {
  try {
    return `it is in ${write(free(join(tmpdir(), basename(wished))), bytes)} instead`;
  } catch {
    return 'and nowhere else either';
  }
}

function write(path: string, bytes: Uint8Array): string {
  const partial = beside(path);
  try {
    writeFileSync(partial, bytes, { flush: true });
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

function reason(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  const known: Readonly<Record<string, string>> = {
    EACCES: 'no permission to write there',
    EPERM: 'no permission to write there',
    EROFS: 'that disk is read-only',
    ENOSPC: 'that disk is full',
    ENAMETOOLONG: 'the name is too long',
    ENOTDIR: 'part of the path is a file',
  };
  return known[code] ?? (error instanceof Error ? error.message : String(error));
}
