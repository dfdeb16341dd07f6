/** `play --chart FILE`: what the stage is given, and what is refused. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readTuneAnew } from '../../src/commands/play/chart-on-disk.ts';
import { tuneToPlay } from '../../src/commands/play/chart-to-play.ts';
import { sentenceOf } from '../../src/common/result.ts';
import type { PresetCollection } from '../../src/io/files/preset-files.ts';
import { SessionTune } from '../../src/session/stage-tune.ts';
import type { StageTune } from '../../src/tune/tune.ts';
import { plainPreset } from '../live/play.ts';

let folder = '';
const entry = { preset: { ...plainPreset, id: 'mine', name: 'My plain' }, isOwn: true };
const collection = { entries: [entry], problems: [] } as unknown as PresetCollection;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'handspan-tune-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

async function asked(text: string, values: { readonly written?: string } = {}) {
  let told = '';
  const stderr = {
    write: (words: string) => {
      told += words;
      return true;
    },
  };
  const chart = join(folder, 'tune.txt');
  writeFileSync(chart, text);
  const read = await tuneToPlay({ chart, ...values }, { stdout: stderr, stderr }, collection);
  return { read, told: told.replaceAll(folder, '') };
}

test('a chart is a tune in the order it is played, with its key and metre for this run', async () => {
  const { read, told } = await asked('key: Eb\nmetre: 3/4\n|: Eb :| N.C. | Bb7@D5 |');
  expect(told).toBe('');
  if (!read.ok) throw new Error('it was refused');
  const { stage, heading } = read.value;
  expect(heading).toEqual({ key: 'Eb major', metre: '3/4' });
  expect(stage?.reading).toBe('with-growth');
  expect(stage?.tune.chords.map(({ symbol, bar, lead }) => [symbol, bar, lead])).toEqual([
    ['Eb', 1, undefined],
    ['Eb', 2, undefined],
    ['', 3, undefined],
    ['Bb7', 4, 74],
  ]);
});

test('presets that the chart names come with it, each chord with the one that holds there', async () => {
  const { read } = await asked('|: C | preset="My plain" Dm7 | G7 :|');
  if (!read.ok) throw new Error('it was refused');
  const { tune, presets } = read.value.stage ?? {};
  expect(presets?.map(({ id }) => id)).toEqual(['mine']);
  expect(tune?.chords.map(({ preset, writesPreset }) => [preset, writesPreset])).toEqual(
    [0, 1].flatMap(() => [
      [undefined, undefined],
      ['mine', true],
      ['mine', undefined],
    ]),
  );
});

test.each([
  ['a preset that is none', '| preset=mime C |', /tune\.txt:1:\d+: There is no preset/],
  ['a form that goes round', '| C | D |\n| E D.C.', /tune\.txt:2:5: 'D\.C\.' goes round for ever/],
  ['D.S. without its sign', '| C | D D.S. al Fine', /tune\.txt:1:9: .* has no sign to go back to/],
  ['a word that is no chord', '| C | Hx |', /tune\.txt:1:7: /],
])('%s is refused with its place', async (_name, text, sentence) => {
  const { read, told } = await asked(text);
  expect(read).toEqual({ ok: false, code: 1 });
  expect(told).toMatch(sentence);
});

test('how far the chart may add is one of three words, and needs a chart', async () => {
  const { read, told } = await asked('| C |', { written: 'all' });
  expect([read.ok, told]).toEqual([false, expect.stringContaining("'--written' cannot be 'all'")]);
  const silent = { write: () => true };
  const alone = await tuneToPlay(
    { written: 'as-played' },
    { stdout: silent, stderr: silent },
    collection,
  );
  expect(alone).toEqual({ ok: false, code: 2 });
});

test('a chart that changes on disk waits for the next top, or is taken when asked for', async () => {
  const { read } = await asked('| C | F | G7 |');
  const stage = read.ok ? read.value.stage : undefined;
  const chart = join(folder, 'tune.txt');
  const given: StageTune[] = [];
  const tune = new SessionTune(stage);
  tune.begin({ follow: (next) => next && given.push(next), setPlace() {}, oneKey() {} });
  tune.readFrom(() => readTuneAnew({ chart }, async () => collection));
  const at = (chord: number, chorus: number) =>
    tune.see({ chord, chorus, isUnsure: false, isPlayed: true });
  expect(at(1, 1)).toBe('');

  writeFileSync(chart, '| C | F | H7 |');
  const broken = (await tune.changed()).replaceAll(folder, '');
  expect(broken).toMatch(/tune\.txt:1:11: .+\. The chart of before is played on\.$/u);
  expect(sentenceOf(await tune.reload())).toContain('The chart of before is played on.');
  rmSync(chart);
  expect(await tune.changed()).toContain('The chart of before is played on.');
  expect([given.length, tune.tune]).toEqual([1, stage?.tune]);

  writeFileSync(chart, '| C | F | Db7 |');
  expect(await tune.changed()).toContain('from the next top on');
  expect([at(2, 1), given.length]).toEqual(['', 1]);
  expect(at(0, 2)).toBe('The chart is played as it is on disk now.');
  expect(given[1]?.continues).toBe(true);
  expect(given[1]?.tune.chords[2]?.symbol).toBe('Db7');
  // Written again as it was, it is nothing new.
  writeFileSync(chart, '| C | F | Db7 |');
  expect(await tune.changed()).toBe('');

  writeFileSync(chart, '| C | F | E7 |');
  expect(sentenceOf(await tune.reload())).toBe('The chart is played as it is on disk now.');
  expect([given.length, tune.tune?.chords[2]?.symbol]).toEqual([3, 'E7']);
});
