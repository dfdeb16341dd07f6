/**
 * Where something made here goes on the disk. All that can be known to fail is said before the work
 * starts; no file is ever overwritten unless that was asked for; and the file appears whole or not
 * at all. A pipe or a device is written into, since nothing in it can be overwritten.
 */

import { existsSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { homedir, tmpdir } from 'node:os';
import { basename, dirname, extname, join, resolve } from 'node:path';
import { errorText } from '../../common/error-text.ts';
import type { Result } from '../../common/result.ts';
import { openInto, placeOf, writeInto } from './output-place.ts';
import { notePartial, partialOf } from './partial-files.ts';
import { beginFile, codeOf, type Growing, writeNew, writeWhole } from './whole-file.ts';

export type OutputFile = {
  /** Where it will be, as an absolute path. */
  readonly path: string;
  /**
   * Writes the file. The value is where it really is: beside the wished place when a file turned
   * up there meanwhile. A problem says where the take was saved instead, if anywhere.
   */
  readonly save: (bytes: Uint8Array) => Result<string>;
  /**
   * Writes a text piece by piece as it is made, so that none of it need be kept. The first piece
   * that is a problem is the end of it: nothing is left then, since a text can be made again.
   */
  readonly saveText: (pieces: Pieces) => Promise<Result<string>>;
  /** The same for bytes, in pieces of a good size. */
  readonly saveBytes: (pieces: AsyncIterable<Result<Uint8Array>>) => Promise<Result<string>>;
};

export type Pieces = Iterable<Result<string>> | AsyncIterable<Result<string>>;

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
  return {
    ok: true,
    value: {
      path,
      save: (bytes) => save(what, path, bytes, isOverwriting),
      saveText: (pieces) => savePieces(what, path, joinedPieces(pieces), isOverwriting),
      saveBytes: (pieces) => savePieces(what, path, pieces, isOverwriting),
    },
  };
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
  if (place.kind === 'circle') {
    return `${cannot}: it is a link that leads round in a circle; choose another name.`;
  }
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
  const trial = partialOf(place.path);
  const forget = notePartial(trial);
  try {
    writeFileSync(trial, '', { flag: 'wx' });
    rmSync(trial);
    return undefined;
  } catch (error) {
    return `${cannot}: ${writeProblem(error)}; choose another folder.`;
  } finally {
    forget();
  }
}

function save(
  what: string,
  wished: string,
  bytes: Uint8Array,
  isOverwriting: boolean,
): Result<string> {
  try {
    return { ok: true, value: write(wished, bytes, isOverwriting) };
  } catch (error) {
    const problem = `The ${what} could not be written to ${wished}: ${writeProblem(error)}`;
    return { ok: false, problem: `${problem}; ${rescue(basename(wished), bytes)}.` };
  }
}

async function savePieces(
  what: string,
  wished: string,
  pieces: AsyncIterable<Result<string | Uint8Array>>,
  isOverwriting: boolean,
): Promise<Result<string>> {
  let file: Pick<Growing, 'add' | 'drop'> & { readonly finish: () => string } = notBegun;
  try {
    file = begin(wished, isOverwriting);
    for await (const piece of pieces) {
      if (!piece.ok) return piece;
      file.add(piece.value);
    }
    return { ok: true, value: file.finish() };
  } catch (error) {
    const problem = `The ${what} could not be written to ${wished}: ${writeProblem(error)}.`;
    return { ok: false, problem };
  } finally {
    file.drop();
  }
}

const notBegun = { add: () => {}, finish: () => '', drop: () => {} };

function begin(wished: string, isOverwriting: boolean) {
  const { kind, path } = placeOf(wished);
  if (kind === 'stream') {
    const { write: into, close } = openInto(path);
    const add = (text: Uint8Array | string) => into(Buffer.from(text));
    return { add, finish: () => path, drop: close };
  }
  const file = beginFile(path);
  const target = existsSync(wished) ? wished : path;
  const finish = () =>
    isOverwriting ? file.replace() : freeNamed(target, (candidate) => file.putNew(candidate));
  return { add: file.add, finish, drop: file.drop };
}

/** So much is written at once. Characters. */
const pieceLength = 1_000_000;

async function* joinedPieces(pieces: Pieces): AsyncGenerator<Result<string>, void> {
  let parts: string[] = [];
  let length = 0;
  for await (const piece of pieces) {
    if (!piece.ok) {
      yield piece;
      return;
    }
    parts.push(piece.value);
    length += piece.value.length;
    if (length < pieceLength) continue;
    yield { ok: true, value: parts.join('') };
    parts = [];
    length = 0;
  }
  yield { ok: true, value: parts.join('') };
}

/** Some things cannot be made again, so a full disk or a pulled stick is not the end of it. */
function rescue(name: string, bytes: Uint8Array): string {
  const place = rescued(name, bytes);
  return place === undefined ? 'and nowhere else either' : `it is in ${place} instead`;
}

/** Writes what has no place where it should be to the next best one; returns where, if anywhere. */
export function rescued(name: string, content: Uint8Array | string): string | undefined {
  for (const folder of [tmpdir(), homedir(), process.cwd()]) {
    try {
      return writeFree(join(folder, name), content);
    } catch {
      // The next one, then.
    }
  }
  return undefined;
}

function write(wished: string, bytes: Uint8Array, isOverwriting: boolean): string {
  const { kind, path } = placeOf(wished);
  if (kind === 'stream') {
    writeInto(path, bytes);
    return path;
  }
  if (isOverwriting) return writeWhole(path, bytes);
  // A link that leads to nothing yet stays a link.
  return existsSync(wished) ? writeFree(wished, bytes) : writeFree(path, bytes);
}

function writeFree(path: string, content: Uint8Array | string): string {
  return freeNamed(path, (candidate) => writeNew(candidate, content));
}

/** Puts it at `path`, or at the first of `name (2).mid`, `name (3).mid` … that does not exist. */
function freeNamed(path: string, put: (candidate: string) => string): string {
  const extension = extname(path);
  const stem = path.slice(0, path.length - extension.length);
  for (let number = 1; ; number++) {
    const candidate = number === 1 ? path : `${stem} (${number})${extension}`;
    if (existsSync(candidate)) continue;
    try {
      return put(candidate);
    } catch (error) {
      // Somebody else was faster.
      if (codeOf(error) !== 'EEXIST') throw error;
    }
  }
}

/** 'tune.mid' as 'tune-3.mid': one of several files of one name. */
export function numberedPath(path: string, number: number): string {
  return path.replace(/(\.[^.\\/]*)?$/, (ending) => `-${number}${ending}`);
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
  const code = codeOf(error);
  const known: Readonly<Record<string, string>> = {
    EACCES: 'no permission to write there',
    EPERM: 'no permission to write there',
    EROFS: 'that disk is read-only',
    ENOSPC: 'that disk is full',
    EDQUOT: 'your share of that disk is full',
    ELOOP: 'its links lead round in a circle',
    ENAMETOOLONG: 'the name is too long',
    ENOTDIR: 'part of the path is a file',
    // The folder was there a moment ago: /proc and its like refuse new files so.
    ENOENT: 'that folder is gone, or takes no files',
    ENXIO: 'nobody reads from that pipe',
    EPIPE: 'its reader went away',
    EAGAIN: 'its reader takes nothing',
  };
  return known[code] ?? errorText(error);
}
