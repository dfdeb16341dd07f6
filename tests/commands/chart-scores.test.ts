import { existsSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { zipSync } from 'fflate';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { canLink } from '../helpers/outside.ts';
import { isShortRound } from '../helpers/round.ts';
import { runCommand } from './run-command.ts';

let folder = '';
const at = (name: string) => join(folder, name);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'chart-scores-'));
  process.env['HANDSPAN_HOME'] = at('home');
});
afterEach(() => {
  vi.doUnmock('verovio/wasm');
  vi.resetModules();
  rmSync(folder, { recursive: true, force: true });
});

const tune = ['chart', '| Dm7 | G7 | Cmaj7 | % |', '--preset', 'drop-2-ninths', '--key', 'C'];

test.skipIf(isShortRound)(
  'a chart leaves as MIDI, MusicXML, picture and hand-out at once',
  async () => {
    const { code, err, out } = await runCommand(
      ...[...tune, '--midi', at('a.mid'), '--musicxml', at('a.musicxml'), '--svg', at('a.svg')],
      ...['--hand-out', at('a.html'), '--paper', 'letter'],
    );
    expect(code).toBe(0);
    expect(err.replaceAll(folder, 'FOLDER').split('\n')).toEqual([
      'handspan: the MIDI file is in FOLDER/a.mid: 4 bars, 4 chords',
      'handspan: the score is in FOLDER/a.musicxml: 4 bars, 4 chords',
      'handspan: the picture is in FOLDER/a.svg: 4 bars, 4 chords',
      'handspan: the hand-out is in FOLDER/a.html: 4 bars, 4 chords',
      '',
    ]);
    expect(out).toBe((await runCommand(...tune)).out);
    const xml = readFileSync(at('a.musicxml'), 'utf8');
    expect(xml.match(/<measure /g)).toHaveLength(4);
    expect(xml).toContain('<software>Handspan</software>');
    expect(readFileSync(at('a.svg'), 'utf8')).toMatch(/^<svg/);
    expect(readFileSync(at('a.html'), 'utf8')).toContain('<table>');
    expect(existsSync(at('a.mid'))).toBe(true);
  },
  30_000,
);

test.skipIf(!canLink()).each([
  ['--midi', '--musicxml'],
  ['--midi', '--svg'],
  ['--musicxml', '--hand-out'],
  ['--svg', '--hand-out'],
])('%s and %s into one file: refused, whatever may be overwritten', async (one, other) => {
  writeFileSync(at('a.html'), 'old');
  symlinkSync('a.html', at('b.html'));
  const outputs = [one, at('a.html'), other, at('b.html'), '--force'];
  const { code, out, err } = await runCommand(...tune, ...outputs);
  expect([code, out]).toEqual([2, '']);
  expect(err).toContain(`'${one}' and '${other}' name the same file ${at('b.html')};`);
  expect(readFileSync(at('a.html'), 'utf8')).toBe('old');
});

test.skipIf(isShortRound)(
  'each page of a long picture is said, and the answer as JSON stays JSON',
  async () => {
    const long = Array.from({ length: 12 }, () => '| Dm7 | G7 | Cmaj7 | % |').join('\n');
    const { err, out } = await runCommand('chart', long, '--svg', at('a.svg'), '--json');
    expect(err.replaceAll(folder, 'FOLDER').split('\n').slice(0, 2)).toEqual([
      expect.stringMatching(/^handspan: the picture is in FOLDER\/a-1\.svg: page 1 of \d+$/),
      expect.stringMatching(/^handspan: the picture is in FOLDER\/a-2\.svg: page 2 of \d+$/),
    ]);
    expect(JSON.parse(out).chords).toHaveLength(48);
  },
  30_000,
);

test('nothing is written when one of them cannot be', async () => {
  const { code, err } = await runCommand(
    ...[...tune, '--midi', at('a.mid'), '--musicxml', join(at('none'), 'a.musicxml')],
  );
  expect(code).toBe(1);
  expect(err).toContain('The score cannot be written to');
  expect(existsSync(at('a.mid'))).toBe(false);
});

test('a file is overwritten only when that was asked for', async () => {
  const words = [...tune, '--hand-out', at('a.txt')];
  expect((await runCommand(...words)).code).toBe(0);
  const again = await runCommand(...words);
  expect([again.code, again.err]).toEqual([
    1,
    `handspan: The hand-out would overwrite ${at('a.txt')}: choose another name, or add --force.\n`,
  ]);
  expect((await runCommand(...words, '--force')).code).toBe(0);
});

const form =
  'title: Two Lamps\nkey: C\n[A] |: Dm7 |1. G7 :|2. C Fine ||\n| "softly" A7 D.C. al Fine |';

test('a score has the bars of the page, with their signs', async () => {
  const words = ['chart', form, '--preset', 'drop-2-ninths', '--musicxml', at('a.musicxml')];
  expect((await runCommand(...words)).code).toBe(0);
  const xml = readFileSync(at('a.musicxml'), 'utf8');
  expect(xml.match(/<measure /g)).toHaveLength(4);
  for (const sign of [
    '<rehearsal>A</rehearsal>',
    '<repeat direction="forward"/>',
    '<repeat direction="backward"/>',
    '<ending number="1" type="start">1.</ending>',
    '<ending number="2" type="discontinue"/>',
    '<sound fine="yes"/>',
    '<words>D.C. al Fine</words>',
    '<sound dacapo="yes"/>',
    '<words font-style="italic">softly</words>',
  ]) {
    expect(xml).toContain(sign);
  }
});

test('symbols as written above, what sounds below; one of them, and numerals, on asking', async () => {
  const read = async (...more: readonly string[]) => {
    const words = ['chart', '| Dm7 | G |', '--key', 'C', '--preset', 'drop-2-ninths'];
    await runCommand(...words, '--musicxml', at('b.musicxml'), '--force', ...more);
    const xml = readFileSync(at('b.musicxml'), 'utf8');
    const kinds = [...xml.matchAll(/<kind text="([^"]*)"/g)].map(([, text]) => text);
    const below = [...xml.matchAll(/<words font-style="normal">([^<]*)</g)].map(([, text]) => text);
    return { kinds, below };
  };
  expect(await read()).toEqual({ kinds: ['m7', ''], below: ['Dm9', 'G9'] });
  expect(await read('--symbols', 'written')).toEqual({ kinds: ['m7', ''], below: [] });
  expect(await read('--symbols', 'sounding')).toEqual({ kinds: ['m9', '9'], below: [] });
  expect((await read('--symbols', 'written', '--numerals')).below).toEqual(['ii7', 'V']);
  const wrong = await runCommand('chart', 'C', '--symbols', 'loud');
  expect(wrong).toMatchObject({ code: 2, out: '' });
  expect(wrong.err).toContain("'--symbols loud': there are written, sounding, both.");
});

test('a score is a chart too, packed or not, and what it has besides is said', async () => {
  await runCommand('chart', form, '--musicxml', at('a.musicxml'));
  const { code, out, err } = await runCommand('chart', at('a.musicxml'), '--chart', at('a.txt'));
  expect(code).toBe(0);
  expect(out.split('\n')[0]).toBe('Two Lamps');
  expect(err).toMatch(/a\.musicxml:\d+:\d+: Left out: \d+ notes\.\n/);
  expect(readFileSync(at('a.txt'), 'utf8')).toContain('|: [A] Dm7 | [1. G7 :| [2. C Fine ||');
  const bytes = zipSync({ 'a.xml': readFileSync(at('a.musicxml')) });
  writeFileSync(at('a.mxl'), bytes);
  const packed = await runCommand('chart', at('a.mxl'), '--melody');
  expect(packed).toMatchObject({ code: 0, out });
  writeFileSync(at('b.mxl'), bytes.subarray(0, 40));
  const broken = await runCommand('chart', at('b.mxl'));
  expect([broken.code, broken.err]).toEqual([
    1,
    `handspan: ${at('b.mxl')} cannot be read: it cannot be unpacked: the archive is damaged.\n`,
  ]);
});

test('without the engraver, pictures are refused in a sentence and the rest works', async () => {
  vi.resetModules();
  vi.doMock('verovio/wasm', () => {
    throw new Error('not installed');
  });
  const { runCommand: run } = await import('./run-command.ts');
  const { code, err } = await run(...tune, '--svg', at('a.svg'));
  expect(code).toBe(1);
  expect(err).toContain("Pictures need the package 'verovio', which is not installed");
  expect((await run(...tune, '--musicxml', at('a.musicxml'))).code).toBe(0);
}, 30_000);
