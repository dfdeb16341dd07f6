/** Files that are there whole or not at all: written beside their place, then renamed. */
import {
  closeSync,
  constants,
  copyFileSync,
  fsyncSync,
  linkSync,
  openSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { keepRights, placeOf } from './output-place.ts';
import { notePartial, partialOf } from './partial-files.ts';

/**
 * Replaces what is there; a link goes on leading where it led, and the file keeps its rights. Returns
 * where it really is. @throws as node:fs does; then what was there is as before.
 */
export function writeWhole(path: string, content: Uint8Array | string): string {
  const { kind, path: end } = placeOf(path);
  if (kind === 'circle') throw Object.assign(new Error('too many links'), { code: 'ELOOP' });
  return atOnce(end, content, (file) => file.replace());
}

/** The same where nothing may be replaced. @throws EEXIST when something is there. */
export function writeNew(path: string, content: Uint8Array | string): string {
  return atOnce(path, content, (file) => file.putNew(path));
}

/** A file that is being written piece by piece. Each function throws as node:fs does. */
export type Growing = {
  readonly add: (content: Uint8Array | string) => void;
  /** It is whole, and replaces what is at the path it was begun for; returns that. */
  readonly replace: () => string;
  /** It is whole, and goes where nothing may be, in the same folder. @throws EEXIST, and stays open to another try. */
  readonly putNew: (path: string) => string;
  /** It is not to be, or is where it belongs. */
  readonly drop: () => void;
};

/** @param path behind all links. */
export function beginFile(path: string): Growing {
  const partial = partialOf(path);
  const forget = notePartial(partial);
  let file: number | undefined;
  const close = (): void => {
    if (file !== undefined) closeSync(file);
    file = undefined;
  };
  const finish = (): void => {
    if (file !== undefined) fsyncSync(file);
    close();
  };
  const drop = (): void => {
    close();
    rmSync(partial, { force: true });
    forget();
  };
  try {
    file = openSync(partial, 'w');
  } catch (error) {
    forget();
    throw error;
  }
  return {
    add(content) {
      if (file !== undefined) writeFileSync(file, content);
    },
    replace() {
      finish();
      keepRights(path, partial);
      renamePatiently(partial, path);
      return path;
    },
    putNew(place) {
      finish();
      try {
        // Unlike a rename, a link never replaces, whoever else writes at this moment.
        linkSync(partial, place);
      } catch (error) {
        if (codeOf(error) === 'EEXIST') throw error;
        // A disk without links, such as a stick's.
        copyFileSync(partial, place, constants.COPYFILE_EXCL);
      }
      return place;
    },
    drop,
  };
}

/** Milliseconds for which a scanner or another program may hold a file, and between two trials. */
const longestHold = 1000;
const trialPause = 20;
/** What Windows says of a file that another program has open. */
const heldCodes: readonly string[] = ['EACCES', 'EBUSY', 'EPERM'];

/**
 * Renames, on Windows again and again for a second. `rename` and `platform` are for tests.
 * @throws as node:fs does.
 */
export function renamePatiently(
  from: string,
  to: string,
  rename: typeof renameSync = renameSync,
  platform: string = process.platform,
): void {
  for (let waited = 0; ; waited += trialPause) {
    try {
      rename(from, to);
      return;
    } catch (error) {
      const isHeld = platform === 'win32' && heldCodes.includes(codeOf(error));
      if (!isHeld || waited >= longestHold) throw error;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, trialPause);
    }
  }
}

/** The system's word for what is wrong, such as 'EEXIST'; else ''. */
export function codeOf(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : '';
}

function atOnce(
  path: string,
  content: Uint8Array | string,
  put: (file: Growing) => string,
): string {
  const file = beginFile(path);
  try {
    file.add(content);
    return put(file);
  } finally {
    file.drop();
  }
}
