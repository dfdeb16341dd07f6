/** Files that others may read, hold, or have put there: what is ours alone, and what is not waited for. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { makeFolder } from '../../../src/io/files/make-folder.ts';
import { decodeText } from '../../../src/io/files/text-file.ts';
import { renamePatiently } from '../../../src/io/files/whole-file.ts';
import { newTake } from '../../../src/io/takes/take-journal.ts';
import { readTakes } from '../../../src/io/takes/take-store.ts';

const newFolder = () => mkdtempSync(join(tmpdir(), 'handspan-foreign-'));
const rightsOf = (path: string) => statSync(path).mode & 0o777;
const isWindows = process.platform === 'win32';

test.skipIf(isWindows)('what was played, and the folder it is in, are its player’s alone', () => {
  const folder = join(newFolder(), 'data', 'takes');
  const take = newTake(folder, new Date(0), { preset: 'one', key: '' });
  take.add('a line\n');
  expect([rightsOf(take.path), rightsOf(folder)]).toEqual([0o600, 0o700]);
  const other = join(newFolder(), 'a', 'b');
  makeFolder(other);
  expect(rightsOf(join(other, '..'))).toBe(0o700);
});

test.skipIf(isWindows)('a pipe among the takes is named and not waited for', () => {
  const folder = newFolder();
  execFileSync('mkfifo', [join(folder, 'x.take')]);
  const { takes, problems } = readTakes(folder);
  expect(takes).toEqual([]);
  expect(problems).toEqual([
    `${join(folder, 'x.take')} cannot be read: it is a folder or a device, not a file.`,
  ]);
});

/** The Unicode Standard, section 23.8: the byte order mark. */
test.each([
  ['UTF-8', [0xef, 0xbb, 0xbf, 0x43, 0xe2, 0x99, 0xad]],
  ['UTF-16, little end first', [0xff, 0xfe, 0x43, 0x00, 0x6d, 0x26]],
  ['UTF-16, big end first', [0xfe, 0xff, 0x00, 0x43, 0x26, 0x6d]],
])('text that begins with the mark of %s', (_name, bytes) => {
  expect(decodeText(Uint8Array.from(bytes))).toBe('C♭');
});

test('a file that another program holds on Windows is renamed once it lets go', () => {
  const held = Object.assign(new Error('held'), { code: 'EPERM' });
  let trials = 0;
  const letsGo = () => {
    trials += 1;
    if (trials < 4) throw held;
  };
  renamePatiently('a', 'b', letsGo, 'win32');
  expect(trials).toBe(4);
  trials = -1000;
  expect(() => renamePatiently('a', 'b', letsGo, 'win32')).toThrow(held);
  // Elsewhere the same words mean that it may not be done at all.
  trials = 0;
  expect(() => renamePatiently('a', 'b', letsGo, 'linux')).toThrow(held);
  expect(trials).toBe(1);
  expect(() => renamePatiently(join(newFolder(), 'none'), 'b')).toThrow('ENOENT');
});

test('a take of text that is none is refused as before', () => {
  const folder = newFolder();
  writeFileSync(join(folder, 'x.take'), 'nonsense');
  expect(readTakes(folder).problems).toHaveLength(1);
});
