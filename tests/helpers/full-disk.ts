/**
 * A disk that is full, for `vi.mock('node:fs', fullDisk)`: writing takes what there is room for and
 * then fails as the system does, with some bytes written and the file there.
 */
import type * as fs from 'node:fs';

/** Bytes that the folders in `full` still take. */
export const disk: { room: number; full: string } = { room: Number.POSITIVE_INFINITY, full: '' };

function noSpace(): Error {
  return Object.assign(new Error('ENOSPC: no space left on device, write'), { code: 'ENOSPC' });
}

export async function fullDisk(original: () => Promise<unknown>): Promise<unknown> {
  const real = (await original()) as typeof fs;
  const paths = new Map<number, string>();
  const isFull = (path: string) => disk.full !== '' && path.startsWith(disk.full);

  const openSync: typeof fs.openSync = (path, ...rest) => {
    const file = real.openSync(path, ...rest);
    paths.set(file, String(path));
    return file;
  };
  const write = (file: number, bytes: Uint8Array, from: number, length: number, at?: number) => {
    if (!isFull(paths.get(file) ?? '')) return real.writeSync(file, bytes, from, length, at);
    if (disk.room <= 0) throw noSpace();
    const written = real.writeSync(file, bytes, from, Math.min(length, disk.room), at);
    disk.room -= written;
    return written;
  };
  const writeSync = (
    file: number,
    content: Uint8Array | string,
    ...rest: (number | undefined)[]
  ) => {
    const bytes = typeof content === 'string' ? Buffer.from(content) : content;
    const [from = 0, length = bytes.length, at] = rest;
    return write(file, bytes, from, length, at);
  };
  const writeFileSync = (
    path: string | number,
    content: Uint8Array | string,
    options?: unknown,
  ) => {
    const name = typeof path === 'number' ? (paths.get(path) ?? '') : path;
    if (!isFull(name)) return real.writeFileSync(path, content, options as fs.WriteFileOptions);
    const bytes = Buffer.from(content);
    const fits = bytes.subarray(0, Math.max(0, disk.room));
    real.writeFileSync(path, fits, options as fs.WriteFileOptions);
    disk.room -= fits.length;
    if (fits.length < bytes.length) throw noSpace();
  };
  const mocked = { ...real, openSync, writeSync, writeFileSync };
  return { ...mocked, default: mocked };
}
