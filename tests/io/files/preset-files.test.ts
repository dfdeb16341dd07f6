/** Presets on the disk: shipped ones, the user's own, and broken ones that block nobody. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { packageFolder, userFolders } from '../../../src/io/files/folders.ts';
import {
  checkPresetFile,
  presetSchemaFile,
  readPresets,
  shippedPresetsFolder,
} from '../../../src/io/files/preset-files.ts';
import { readTextFile } from '../../../src/io/files/text-file.ts';
import { parsePreset } from '../../../src/presets/parse.ts';
import { spoilt } from '../../presets/sample.ts';

let folder = '';

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'handspan-presets-'));
});

afterEach(() => {
  rmSync(folder, { recursive: true });
});

const write = (name: string, text: string | Uint8Array) => {
  const file = join(folder, name);
  writeFileSync(file, text);
  return file;
};

describe('shipped presets', () => {
  test('are read without the schema exactly as with it', async () => {
    const { entries, problems } = await readPresets(folder);
    expect(problems).toEqual([]);
    expect(entries.length).toBeGreaterThanOrEqual(8);
    for (const { preset, file, origin } of entries) {
      const text = await readTextFile(file);
      expect(text.ok && parsePreset(text.value, preset.id)).toEqual({ ok: true, value: preset });
      expect(origin).toBe('shipped');
    }
  });

  test('lie in the package, and so does the schema', async () => {
    expect(shippedPresetsFolder()).toBe(join(packageFolder(), 'presets'));
    expect((await readTextFile(presetSchemaFile())).ok).toBe(true);
  });

  test('one that was edited into something else is reported with its place', async () => {
    const shipped = mkdtempSync(join(tmpdir(), 'handspan-shipped-'));
    writeFileSync(join(shipped, 'good.json'), spoilt({}));
    writeFileSync(join(shipped, 'narrow.json'), spoilt({ upper: { lowest: 60, highest: 64 } }));
    writeFileSync(join(shipped, 'short.json'), '{"name": "A"');
    const { entries, problems } = await readPresets(folder, shipped);
    rmSync(shipped, { recursive: true });
    expect(entries.map(({ preset }) => preset.id)).toEqual(['good']);
    expect(problems).toHaveLength(2);
    expect(problems[0]).toMatch(/narrow\.json:6:12: upper: C4 to E4 spans 4 semitones/);
    expect(problems[1]).toMatch(/short\.json:1:13: The end of the file/);
  });
});

describe('own presets', () => {
  test('a folder that is not there holds none', async () => {
    const { entries, problems } = await readPresets(join(folder, 'nowhere'));
    expect(entries.every(({ origin }) => origin === 'shipped')).toBe(true);
    expect(problems).toEqual([]);
  });

  test('good ones follow the shipped ones; broken ones are reported and left out', async () => {
    write('warm.json', spoilt({ name: 'Warm' }));
    write('broken.json', spoilt({ voices: 9 }));
    write('FOURTHS-over-root.json', spoilt({}));
    write('.hidden.json', 'nothing');
    write('notes.txt', 'nothing');
    write('latin.json', Uint8Array.of(0x7b, 0xe9, 0x7d));
    mkdirSync(join(folder, 'folder.json'));
    const { entries, problems } = await readPresets(folder);
    const own = entries.filter(({ origin }) => origin === 'own');
    expect(own.map(({ preset }) => [preset.id, preset.name])).toEqual([['warm', 'Warm']]);
    expect(problems).toEqual([
      `${join(folder, 'FOURTHS-over-root.json')} has the name of a preset that came with Handspan; rename the file.`,
      `${join(folder, 'broken.json')}:5:13: voices: 9 is above 6; give a whole number from 2 to 6.`,
      `${join(folder, 'folder.json')} cannot be read: it is a folder or a device, not a file.`,
      `${join(folder, 'latin.json')} cannot be read: it is not UTF-8 text; save it as UTF-8.`,
    ]);
  });

  test('a file in the place of the folder is said', async () => {
    const file = write('presets', '');
    const { problems } = await readPresets(file);
    expect(problems).toEqual([`The presets in ${file} cannot be read: there is no such file.`]);
  });
});

test('a file that is not there, or too large, is said', async () => {
  const nowhere = join(folder, 'nowhere.json');
  expect(await checkPresetFile(nowhere)).toMatchObject({
    sentences: [`${nowhere} cannot be read: there is no such file.`],
  });
  const large = write('large.json', ' '.repeat(1_000_001));
  expect(await checkPresetFile(large)).toMatchObject({
    sentences: [`${large} cannot be read: it has 1000001 bytes, more than 1000000.`],
  });
});

describe('folders', () => {
  test('HANDSPAN_HOME holds everything', () => {
    expect(userFolders({ HANDSPAN_HOME: folder })).toEqual({
      settings: folder,
      presets: join(folder, 'presets'),
      takes: join(folder, 'takes'),
      charts: join(folder, 'charts'),
    });
  });

  test("without it, the system's places, which bear the program's name", () => {
    const { settings, presets } = userFolders({ HANDSPAN_HOME: '' });
    expect(settings).toMatch(/handspan/i);
    expect(presets).toMatch(/handspan.*presets$/i);
  });
});
