/** Files that are there whole or not at all: written beside their place, then renamed. */
import { constants, copyFileSync, linkSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { keepRights, placeOf } from './output-place.ts';
import { notePartial, partialOf } from './partial-files.ts';

/**
 * Replaces what is there; a link goes on leading where it led, and the file keeps its rights. Returns
 * where it really is. @throws as node:fs does; then what was there is as before.
 */
export function writeWhole(path: string, content: Uint8Array | string): string {
  const { kind, path: end } = placeOf(path);
  if (kind === 'circle') throw Object.assign(new Error('too many links'), { code: 'ELOOP' });
  viaPartial(end, content, (partial) => {
    keepRights(end, partial);
    renameSync(partial, end);
  });
  return end;
}

/** The same where nothing may be replaced. @throws EEXIST when something is there. */
export function writeNew(path: string, content: Uint8Array | string): string {
  viaPartial(path, content, (partial) => {
    try {
      // Unlike a rename, a link never replaces, whoever else writes at this moment.
      linkSync(partial, path);
    } catch (error) {
      if (codeOf(error) === 'EEXIST') throw error;
      // A disk without links, such as a stick's.
      copyFileSync(partial, path, constants.COPYFILE_EXCL);
    }
    rmSync(partial, { force: true });
  });
  return path;
}

/** The system's word for what is wrong, such as 'EEXIST'; else ''. */
export function codeOf(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : '';
}

function viaPartial(
  path: string,
  content: Uint8Array | string,
  putInPlace: (partial: string) => void,
): void {
  const partial = partialOf(path);
  const done = notePartial(partial);
  try {
    writeFileSync(partial, content, { flush: true });
    putInPlace(partial);
  } catch (error) {
    rmSync(partial, { force: true });
    throw error;
  } finally {
    done();
  }
}
