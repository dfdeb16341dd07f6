/** Settings: what was saved comes back, and damage loses nothing. */
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { loadSettings, type Settings, saveSettings } from '../../src/io/settings.ts';

let folder = '';
let file = '';

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'handspan-settings-'));
  file = join(folder, 'settings.json');
});

afterEach(() => {
  rmSync(folder, { recursive: true });
});

const everything: Settings = {
  preset: 'fourths-over-third',
  from: ['Stage keyboard', 'Pads'],
  to: ['Studio'],
  key: 'Eb',
  upper: { lowest: 50, highest: 67 },
  bass: { lowest: 28, highest: 43 },
};

test('nothing saved yet: nothing comes, nothing is written', async () => {
  expect(await loadSettings(join(folder, 'nowhere'))).toEqual({ settings: {}, notice: '' });
  expect(existsSync(join(folder, 'nowhere'))).toBe(false);
});

test('what was saved comes back, also in a folder that was not there', async () => {
  const deep = join(folder, 'deep', 'er');
  expect(await saveSettings(deep, everything)).toBe('');
  expect(await loadSettings(deep)).toEqual({ settings: everything, notice: '' });
});

test('what is no longer chosen is gone, what a later version wrote stays', async () => {
  writeFileSync(file, JSON.stringify({ preset: 'close-sixths', key: 'A', later: { a: 1 } }));
  expect(await saveSettings(folder, { preset: 'drop-2-high' })).toBe('');
  expect(JSON.parse(readFileSync(file, 'utf8'))).toEqual({
    preset: 'drop-2-high',
    later: { a: 1 },
  });
});

describe('a damaged file', () => {
  test.each([
    ['cut short', '{"preset": "close-six'],
    ['empty', ''],
    ['no object', '[1, 2]'],
  ])('%s: one sentence, defaults, and the file is kept', async (_what, text) => {
    writeFileSync(file, text);
    const backup = join(folder, 'settings.damaged.json');
    expect(await loadSettings(folder)).toEqual({
      settings: {},
      notice: `${file} is damaged (it is not a JSON object); it is kept as ${backup}, and the rest goes on.`,
    });
    expect(readFileSync(backup, 'utf8')).toBe(text);
    expect(await loadSettings(folder)).toEqual({ settings: {}, notice: '' });
    expect(await saveSettings(folder, everything)).toBe('');
    expect((await loadSettings(folder)).settings).toEqual(everything);
  });

  test('some values wrong: the others are used and stay', async () => {
    const text = JSON.stringify({
      ...everything,
      preset: 5,
      to: 'Studio',
      upper: { lowest: 67, highest: 50 },
      bass: { lowest: 28, highest: 300 },
    });
    writeFileSync(file, text);
    const { from, key } = everything;
    const { settings, notice } = await loadSettings(folder);
    expect(settings).toEqual({ from, key });
    expect(notice).toContain('(no use can be made of its preset, to, upper, bass)');
    expect(readFileSync(join(folder, 'settings.damaged.json'), 'utf8')).toBe(text);
    expect(await loadSettings(folder)).toEqual({ settings, notice: '' });
  });

  test('a second one does not overwrite the first', async () => {
    for (const text of ['one', 'two', 'three']) {
      writeFileSync(file, text);
      await loadSettings(folder);
    }
    expect(readdirSync(folder).sort()).toEqual([
      'settings.damaged-2.json',
      'settings.damaged-3.json',
      'settings.damaged.json',
    ]);
    expect(readFileSync(join(folder, 'settings.damaged-3.json'), 'utf8')).toBe('three');
  });
});

test('a folder that cannot be: one sentence, no throw', async () => {
  writeFileSync(join(folder, 'occupied'), '');
  const problem = await saveSettings(join(folder, 'occupied'), everything);
  expect(problem).toMatch(/^The settings could not be written in .*occupied: .+\.$/);
  expect(await loadSettings(join(folder, 'occupied'))).toEqual({ settings: {}, notice: '' });
});
