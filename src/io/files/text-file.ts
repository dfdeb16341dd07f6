/** Reads a small text file that somebody else wrote, and says in one sentence what is in the way. */
import { readFileSync, statSync } from 'node:fs';
import { readFile, stat } from 'node:fs/promises';
import type { Result } from '../../common/result.ts';

/** Far above any preset or settings file, far below what would stop the program. */
const maximumBytes = 1_000_000;

const reasons: { readonly [code: string]: string } = {
  ENOENT: 'there is no such file',
  ENOTDIR: 'there is no such file',
  EACCES: 'it may not be read by this user',
  EPERM: 'it may not be read by this user',
  ELOOP: 'its links lead round in a circle',
  ENAMETOOLONG: 'its name is too long',
};

/** UTF-8 text of a regular file of at most 1 MB. The problem is a whole sentence. */
export async function readTextFile(file: string): Promise<Result<string>> {
  try {
    const status = await stat(file);
    // A pipe or a device could keep the program waiting for ever.
    if (!status.isFile()) return refuse(file, 'it is a folder or a device, not a file');
    if (status.size > maximumBytes) {
      return refuse(file, `it has ${status.size} bytes, more than ${maximumBytes}`);
    }
    return { ok: true, value: decodeText(await readFile(file)) };
  } catch (error) {
    if (error instanceof TypeError) return refuse(file, 'it is not UTF-8 text; save it as UTF-8');
    return refuse(file, describeFileError(error));
  }
}

/**
 * UTF-8, without the byte order mark that some editors begin it with; UTF-16 where its mark says so,
 * as Windows PowerShell 5.1 writes it. @throws TypeError: it is none.
 */
export function decodeText(bytes: Uint8Array): string {
  return new TextDecoder(encodingOf(bytes), { fatal: true }).decode(bytes);
}

function encodingOf([first, second]: Uint8Array): string {
  if (first === 0xff && second === 0xfe) return 'utf-16le';
  return first === 0xfe && second === 0xff ? 'utf-16be' : 'utf-8';
}

/** Why the system would not have something read, without its own jargon where it is a common case. */
export function describeFileError(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  const code = 'code' in error ? String(error.code) : '';
  return reasons[code] ?? error.message.split('\n', 1)[0] ?? 'the system gives no reason';
}

const mostBytes = 64_000_000;

/**
 * UTF-8 text of a regular file of at most 64 MB, at once. @throws with the reason where it is none: a
 * pipe among the files of a folder would keep the program waiting for ever.
 */
export function readPlainText(file: string): string {
  const status = statSync(file);
  if (!status.isFile()) throw new Error('it is a folder or a device, not a file');
  if (status.size > mostBytes)
    throw new Error(`it has ${status.size} bytes, more than ${mostBytes}`);
  return readFileSync(file, 'utf8');
}

/** The bytes of a regular file of at most 64 MB. The problem is a whole sentence. */
export async function readBytes(file: string): Promise<Result<Uint8Array>> {
  try {
    const status = await stat(file);
    if (!status.isFile()) return refuse(file, 'it is a folder or a device, not a file');
    if (status.size > mostBytes) {
      return refuse(file, `it has ${status.size} bytes, more than ${mostBytes}`);
    }
    return { ok: true, value: await readFile(file) };
  } catch (error) {
    return refuse(file, describeFileError(error));
  }
}

function refuse(file: string, reason: string): Extract<Result<never>, { ok: false }> {
  return { ok: false, problem: `${file} cannot be read: ${reason}.` };
}
