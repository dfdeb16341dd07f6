/** Settings: what was saved comes back, damage loses nothing, nor do two processes at once. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import {
  existsSync,
  lstatSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { hostname, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { loadSettings, type Settings, saveSettings } from '../../../src/io/files/settings.ts';
import { bundle } from '../../helpers/bundle.ts';
import { canLink } from '../../helpers/outside.ts';

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
  expect(saveSettings(deep, everything, {})).toBe('');
  expect(await loadSettings(deep)).toEqual({ settings: everything, notice: '' });
});

test('what is no longer chosen is gone, what a later version wrote stays', async () => {
  writeFileSync(file, JSON.stringify({ preset: 'close-sixths', key: 'A', later: { a: 1 } }));
  expect(
    saveSettings(folder, { preset: 'drop-2-high' }, { preset: 'close-sixths', key: 'A' }),
  ).toBe('');
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
    expect(saveSettings(folder, everything, {})).toBe('');
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
  const problem = saveSettings(join(folder, 'occupied'), everything, {});
  expect(problem).toMatch(/^The settings could not be written in .*occupied: .+\.$/);
  expect(await loadSettings(join(folder, 'occupied'))).toEqual({ settings: {}, notice: '' });
});

describe('several processes', () => {
  test('that write at the same time lose nothing of each other', async () => {
    const program = bundle('tests/helpers/settings-process.ts', 'settings-process');
    const writers = ['A', 'B', 'C', 'D'];
    const each = 12;
    const ended = await Promise.all(
      writers.map((name) =>
        once(spawn(process.execPath, [program, folder, name, `${each}`]), 'exit'),
      ),
    );
    expect(ended.map(([code]) => code)).toEqual([0, 0, 0, 0]);
    const { settings } = await loadSettings(folder);
    expect(Object.keys(settings.setlists ?? {})).toHaveLength(writers.length * each);
    expect(settings.favourites).toHaveLength(writers.length * each);
    expect(readdirSync(folder)).toEqual(['settings.json']);
  });

  test('a lock that a dead one left is taken over', () => {
    // Far above any process number there is.
    writeFileSync(join(folder, '.lock'), JSON.stringify({ pid: 99_999_999, host: hostname() }));
    expect(saveSettings(folder, everything, {})).toBe('');
    expect(readdirSync(folder)).toEqual(['settings.json']);
    // Of another machine nothing is known but how old it is.
    writeFileSync(join(folder, '.lock'), JSON.stringify({ pid: 1, host: 'elsewhere' }));
    utimesSync(join(folder, '.lock'), 1, 1);
    expect(saveSettings(folder, { key: 'A' }, everything)).toBe('');
    expect(readdirSync(folder)).toEqual(['settings.json']);
  });
});

describe('whatever the file is by the time it is written', () => {
  const base: Settings = { key: 'A', metre: '3/4' };
  const ours: Settings = { key: 'Eb', metre: '3/4' };

  const behindLink: readonly [string, () => void] = [
    'behind a link',
    () => {
      writeFileSync(join(folder, 'real.json'), JSON.stringify({ ...base, preset: 'mine' }));
      symlinkSync('real.json', file);
    },
  ];
  test.each<readonly [string, () => void]>([
    [
      'with a byte order mark',
      () => writeFileSync(file, `\uFEFF${JSON.stringify({ ...base, preset: 'mine' })}`),
    ],
    [
      'with what another process wrote',
      () => writeFileSync(file, JSON.stringify({ ...base, preset: 'mine' })),
    ],
    ...(canLink() ? [behindLink] : []),
  ])('%s: our change is written into it', async (_what, prepare) => {
    prepare();
    const wasLink = lstatSync(file).isSymbolicLink();
    expect(saveSettings(folder, ours, base)).toBe('');
    expect(await loadSettings(folder)).toEqual({
      settings: { ...ours, preset: 'mine' },
      notice: '',
    });
    expect(lstatSync(file).isSymbolicLink()).toBe(wasLink);
  });

  test.each([
    ['gone', () => {}],
    ['broken', () => writeFileSync(file, '{"key": ')],
    ['no UTF-8', () => writeFileSync(file, Uint8Array.of(0x7b, 0xe9, 0x7d))],
  ])('%s: what we know is written, and nothing thrown away', async (what, prepare) => {
    prepare();
    const before = existsSync(file) ? readFileSync(file) : undefined;
    const said = saveSettings(folder, ours, base);
    expect((await loadSettings(folder)).settings).toEqual(ours);
    if (what === 'gone') expect(said).toBe('');
    else {
      expect(said).toMatch(/ was damaged meanwhile; it is kept as .*settings\.damaged\.json, /);
      expect(readFileSync(join(folder, 'settings.damaged.json'))).toEqual(before);
    }
  });
});
