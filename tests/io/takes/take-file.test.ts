import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { prepareTakeFile } from '../../../src/io/takes/take-file.ts';

const bytes = Uint8Array.of(77, 84, 104, 100);
let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'take-file-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function prepare(name: string, isOverwriting = false) {
  return prepareTakeFile(join(folder, name), { isOverwriting });
}
function problem(result: { ok: boolean; problem?: string }) {
  return result.ok ? '' : (result.problem ?? '').replaceAll(folder, 'FOLDER');
}

test('preparing leaves nothing, saving leaves the file alone', () => {
  const file = prepare('take.mid');
  expect(readdirSync(folder)).toEqual([]);
  expect(file.ok && file.value.save(bytes)).toEqual({ ok: true, value: join(folder, 'take.mid') });
  expect(readdirSync(folder)).toEqual(['take.mid']);
  expect(readFileSync(join(folder, 'take.mid'))).toEqual(Buffer.from(bytes));
});

test('an existing file is refused, and overwritten only when asked for', () => {
  writeFileSync(join(folder, 'take.mid'), 'old');
  expect(problem(prepare('take.mid'))).toBe(
    'The take would overwrite FOLDER/take.mid: choose another name, or add --force.',
  );
  const file = prepare('take.mid', true);
  expect(file.ok && file.value.save(bytes).ok).toBe(true);
  expect(readdirSync(folder)).toEqual(['take.mid']);
  expect(readFileSync(join(folder, 'take.mid'))).toEqual(Buffer.from(bytes));
});

test('a file that turned up meanwhile is kept', () => {
  const file = prepare('take.mid');
  writeFileSync(join(folder, 'take.mid'), 'other');
  writeFileSync(join(folder, 'take (2).mid'), 'another');
  expect(file.ok && file.value.save(bytes)).toEqual({
    ok: true,
    value: join(folder, 'take (3).mid'),
  });
  expect(readFileSync(join(folder, 'take.mid'), 'utf8')).toBe('other');
});

test.each<[string, string]>([
  [
    'none/take.mid',
    'The take cannot be written to FOLDER/none/take.mid: there is no folder FOLDER/none; make it first.',
  ],
  [
    'sub',
    'The take cannot be written to FOLDER/sub: that is a folder; add a file name such as take.mid.',
  ],
  [
    'file/take.mid',
    'The take cannot be written to FOLDER/file/take.mid: there is no folder FOLDER/file; make it first.',
  ],
  [
    `${'long'.repeat(70)}.mid`,
    `The take cannot be written to FOLDER/${'long'.repeat(70)}.mid: the name is too long; choose another folder.`,
  ],
])('%s is refused before the playing starts', (name, sentence) => {
  mkdirSync(join(folder, 'sub'));
  writeFileSync(join(folder, 'file'), '');
  expect(problem(prepare(name))).toBe(sentence);
});

// /proc takes no new files from anyone, root included.
test.skipIf(!existsSync('/proc/self'))('a folder that cannot be written is said beforehand', () => {
  const result = prepareTakeFile('/proc/take.mid', { isOverwriting: false });
  expect(problem(result)).toMatch(
    /^The take cannot be written to \/proc\/take\.mid: .*; choose another folder\.$/,
  );
});

test('a take whose folder vanished is saved elsewhere, and the sentence says where', () => {
  mkdirSync(join(folder, 'stick'));
  const file = prepare('stick/rescued-take.mid');
  rmSync(join(folder, 'stick'), { recursive: true });
  const saved = file.ok ? file.value.save(bytes) : file;
  const place = /it is in (.*) instead\.$/.exec(saved.ok ? '' : saved.problem)?.[1] ?? '';
  expect(readFileSync(place)).toEqual(Buffer.from(bytes));
  rmSync(place);
});
