/**
 * One process at a time in a folder that several may write: a file that holds it, with the number of
 * its process. What is done under it is short and waits for nothing, so a lock is never old: one of a
 * process that is gone, or older than some seconds, is taken over. Where there can be no such file
 * (a full disk, a folder that may not be written) the work goes on without: it fails by itself there.
 */
import {
  closeSync,
  linkSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { isGone, thisWriter } from './running-process.ts';
import { codeOf } from './whole-file.ts';

const lockName = '.lock';
/** Milliseconds. Far longer than reading, merging and writing takes. */
const oldest = 5000;
const longestWait = 2000;
const pause = 5;

/** Runs `action` while no other process is in there; synchronous, for the end of a process as well. */
export function withLock<T>(folder: string, action: () => T): T {
  const path = join(folder, lockName);
  const isHeld = take(path);
  try {
    return action();
  } finally {
    if (isHeld) rmSync(path, { force: true });
  }
}

/** False when there can be no lock, or its holder does not let go: better to write than to hang. */
function take(path: string): boolean {
  for (let waited = 0; waited < longestWait; waited += pause) {
    try {
      const file = openSync(path, 'wx', 0o600);
      try {
        writeSync(file, JSON.stringify(thisWriter()));
      } finally {
        closeSync(file);
      }
      return true;
    } catch (error) {
      const code = codeOf(error);
      // A lock on a full disk is empty, and holds all the same.
      if (code === 'ENOSPC' || code === 'EDQUOT') return true;
      if (code !== 'EEXIST') return false;
      if (isLeft(path)) removeLeft(path);
      else Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, pause);
    }
  }
  return false;
}

function isLeft(path: string): boolean {
  try {
    if (Date.now() - statSync(path).mtimeMs > oldest) return true;
    const writer: unknown = JSON.parse(readFileSync(path, 'utf8'));
    const { pid, host } = writer as { readonly pid: number; readonly host: string };
    return isGone({ pid, host });
  } catch {
    // Just being written, or just let go.
    return false;
  }
}

/** Two may find the same one left; the slower one must not take away the new lock of the faster. */
function removeLeft(path: string): void {
  const aside = `${path}.${process.pid}`;
  try {
    renameSync(path, aside);
    if (!isLeft(aside)) linkSync(aside, path);
    rmSync(aside, { force: true });
  } catch {
    // The other was faster.
  }
}
