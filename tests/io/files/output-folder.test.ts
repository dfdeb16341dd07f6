/** Folders that are there whole or not at all. */
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
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { Result } from '../../../src/common/result.ts';
import { type FolderFile, prepareOutputFolder } from '../../../src/io/files/output-folder.ts';

let home = '';
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), 'folder-'));
});
afterEach(() => rmSync(home, { recursive: true, force: true }));

const list = 'list.json';

async function* files(...names: readonly string[]): AsyncGenerator<Result<FolderFile>, void> {
  for (const name of names) yield { ok: true, value: { name, content: name } };
  const content = JSON.stringify({ files: [...names, list] });
  yield { ok: true, value: { name: list, content } };
}

async function write(folder: string, isOverwriting: boolean, ...names: readonly string[]) {
  const prepared = prepareOutputFolder(folder, { what: 'parts', list, isOverwriting });
  return prepared.ok ? await prepared.value.save(files(...names)) : prepared;
}

describe('a folder of files', () => {
  test('is there with all of them, and nothing beside it', async () => {
    const folder = join(home, 'parts');
    expect(await write(folder, false, 'a', 'b')).toEqual({ ok: true, value: folder });
    expect(readdirSync(folder).sort()).toEqual(['a', 'b', list]);
    expect(readdirSync(home)).toEqual(['parts']);
  });

  test('is not there at all where one of its files fails', async () => {
    const prepared = prepareOutputFolder(join(home, 'parts'), {
      ...{ what: 'parts', list, isOverwriting: false },
    });
    async function* broken(): AsyncGenerator<Result<FolderFile>, void> {
      yield { ok: true, value: { name: 'a', content: 'a' } };
      yield { ok: false, problem: 'No more.' };
    }
    const saved = prepared.ok ? await prepared.value.save(broken()) : prepared;
    expect(saved).toEqual({ ok: false, problem: 'No more.' });
    expect(readdirSync(home)).toEqual([]);
  });

  test('is not written over another unless that was asked, and then whole', async () => {
    const folder = join(home, 'parts');
    await write(folder, false, 'a', 'b');
    const refused = await write(folder, false, 'c');
    expect(refused).toMatchObject({ ok: false, problem: expect.stringContaining('--force') });
    expect(await write(folder, true, 'c')).toMatchObject({ ok: true });
    expect(readdirSync(folder).sort()).toEqual(['c', list]);
    expect(readdirSync(home)).toEqual(['parts']);
  });

  test('never takes away what it did not write', async () => {
    const folder = join(home, 'parts');
    await write(folder, false, 'a');
    writeFileSync(join(folder, 'notes.txt'), 'mine');
    const refused = await write(folder, true, 'a');
    expect(refused).toMatchObject({ ok: false, problem: expect.stringContaining('notes.txt') });
    expect(readFileSync(join(folder, 'notes.txt'), 'utf8')).toBe('mine');
  });

  test('an empty folder takes it', async () => {
    const folder = join(home, 'parts');
    mkdirSync(folder);
    expect(await write(folder, false, 'a')).toMatchObject({ ok: true });
  });

  test.each([
    ['', 'has no name'],
    [join('nowhere', 'parts'), 'there is no folder'],
    ['file', 'that is a file'],
  ])('%j is refused with a sentence', (name, sentence) => {
    writeFileSync(join(home, 'file'), '');
    const folder = name === '' ? '' : join(home, name);
    const prepared = prepareOutputFolder(folder, { what: 'parts', list, isOverwriting: true });
    expect(prepared).toMatchObject({ ok: false, problem: expect.stringContaining(sentence) });
    expect(existsSync(join(home, 'nowhere'))).toBe(false);
  });
});
