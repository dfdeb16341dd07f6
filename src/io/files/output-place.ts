/**
 * What stands where a file is to be written: nothing or a file, perhaps behind links; a pipe or a
 * device; or what nobody should write to. A file is replaced by renaming, which would put a file in
 * the place of a pipe, a device or a link.
 */
import {
  chmodSync,
  chownSync,
  closeSync,
  constants,
  openSync,
  readlinkSync,
  realpathSync,
  statSync,
  writeSync,
} from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';

export type OutputPlace = {
  /** `stream`: a pipe, a terminal or the like. `other`: a disk as a whole, a socket. `circle`: links. */
  readonly kind: 'file' | 'stream' | 'other' | 'circle';
  /** With `file` the end of all links, else as given. */
  readonly path: string;
};

/** Never throws; what cannot be looked at is treated as a file, and writing says what is wrong. */
export function placeOf(path: string): OutputPlace {
  const found = attempt(() => statSync(path, { throwIfNoEntry: false }));
  if (found === undefined && isCircle(path)) return { kind: 'circle', path };
  // Not by its real path: what /dev/stdout leads to has none when it is a pipe.
  if (found?.isFIFO() || found?.isCharacterDevice()) return { kind: 'stream', path };
  if (found?.isBlockDevice() || found?.isSocket()) return { kind: 'other', path };
  return { kind: 'file', path: found === undefined ? endOfLinks(path) : realPath(path) };
}

/** One text for one file, however it is reached; undefined for what two may write into. */
export function identityOf(path: string): string | undefined {
  const { kind, path: end } = placeOf(resolve(path));
  if (kind === 'stream') return undefined;
  const real = join(realPath(dirname(end)), basename(end));
  return ['darwin', 'win32'].includes(process.platform) ? real.toLowerCase() : real;
}

/** Milliseconds from one trial to the next while a pipe is full, and trials before giving up. */
const trialPause = 10;
const mostTrials = 1000;

export type Into = {
  /** @throws the system's error: EAGAIN when the reader took nothing for ten seconds. */
  readonly write: (bytes: Uint8Array) => void;
  readonly close: () => void;
};

/**
 * Opens a pipe or a device.
 * @throws the system's error: ENXIO when nobody reads from the pipe.
 */
export function openInto(path: string): Into {
  // Opened for waiting, a pipe without a reader would hold up the whole program.
  const file = openSync(path, constants.O_WRONLY | (constants.O_NONBLOCK ?? 0));
  return {
    write(bytes) {
      let written = 0;
      let trials = 0;
      while (written < bytes.length) {
        const count = writeSome(file, bytes.subarray(written), trials === mostTrials);
        trials = count === 0 ? trials + 1 : 0;
        written += count;
      }
    },
    close: () => closeSync(file),
  };
}

/** Writes all of it. @throws as `openInto` and its `write` do. */
export function writeInto(path: string, bytes: Uint8Array): void {
  const into = openInto(path);
  try {
    into.write(bytes);
  } finally {
    into.close();
  }
}

/** The new file `replacement` may be read and written by whom the old one may, as far as we may say. */
export function keepRights(old: string, replacement: string): void {
  const found = attempt(() => statSync(old, { throwIfNoEntry: false }));
  if (found === undefined) return;
  attempt(() => chownSync(replacement, found.uid, found.gid));
  attempt(() => chmodSync(replacement, found.mode & 0o7777));
}

function writeSome(file: number, bytes: Uint8Array, isLastTrial: boolean): number {
  try {
    return writeSync(file, bytes);
  } catch (error) {
    const isFull = error instanceof Error && 'code' in error && error.code === 'EAGAIN';
    if (!isFull || isLastTrial) throw error;
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, trialPause);
    return 0;
  }
}

/** Links that lead to each other, or to themselves: nothing is there, and nothing can be put there. */
function isCircle(path: string): boolean {
  try {
    statSync(path, { throwIfNoEntry: false });
    return false;
  } catch (error) {
    return error instanceof Error && 'code' in error && error.code === 'ELOOP';
  }
}

const mostLinks = 40;

/** Where a link leads that leads to nothing yet. */
function endOfLinks(path: string): string {
  let end = path;
  for (let links = 0; links < mostLinks; links += 1) {
    const here = end;
    const next = attempt(() => readlinkSync(here));
    if (next === undefined) return end;
    end = resolve(dirname(end), next);
  }
  return path;
}

function realPath(path: string): string {
  return attempt(() => realpathSync(path)) ?? path;
}

function attempt<T>(action: () => T): T | undefined {
  try {
    return action();
  } catch {
    return undefined;
  }
}
