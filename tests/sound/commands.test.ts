/** The sound of charts, voiced files and takes as WAV files, and what is refused. */
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
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { endLine, formatEvent, formatHead } from '../../src/take/journal.ts';
import { runCommand } from '../commands/run-command.ts';
import { disk } from '../helpers/full-disk.ts';
import { file, track } from '../midi/smf.ts';
import { rate, soundOf, spectrumOf, windowLength } from './rendering.ts';

vi.mock('node:fs', async (original) => {
  const { fullDisk } = await import('../helpers/full-disk.ts');
  return fullDisk(original);
});

let home = '';
let wav = '';
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), 'handspan-sound-'));
  process.env['HANDSPAN_HOME'] = join(home, 'home');
  wav = join(home, 'sound.wav');
});
afterEach(() => {
  Object.assign(disk, { room: Number.POSITIVE_INFINITY, full: '' });
  rmSync(home, { recursive: true, force: true });
});

const heard = (path: string) => soundOf(readFileSync(path));
/** Decibels of a frequency, some tenths of a second into the sound. */
function levelAt(path: string, note: number): number {
  const bin = Math.round((440 * 2 ** ((note - 69) / 12) * windowLength) / rate);
  const spectrum = spectrumOf(heard(path).left, 0.1 * rate);
  return Math.max(...spectrum.slice(bin - 2, bin + 3));
}

test('a chart lasts as long as it is played, and is not overwritten', async () => {
  const words = ['chart', 'tempo: 60\n| C | F |', '--wav', wav] as const;
  const written = await runCommand(...words);
  expect([written.code, written.err]).toEqual([
    0,
    `handspan: the sound is in ${wav}: 2 bars, 2 chords\n`,
  ]);
  const seconds = heard(wav).left.length / rate;
  expect(seconds).toBeGreaterThan(8);
  expect(seconds).toBeLessThan(9.5);
  const again = await runCommand(...words);
  expect([again.code, again.err]).toEqual([
    1,
    `handspan: The sound would overwrite ${wav}: choose another name, or add --force.\n`,
  ]);
});

test('a voiced file sounds with its other tracks, or without', async () => {
  const note = (number: number, status: number) => [
    [0, status, number, 80] as const,
    [960, status - 0x10, number, 64] as const,
  ];
  const melody = track(...note(92, 0x91));
  const chords = track(
    ...[62, 65, 69].flatMap((number) => note(number, 0x90)).sort((a, b) => a[0] - b[0]),
  );
  const input = join(home, 'plain.mid');
  writeFileSync(input, file(1, 480, chords, melody));
  const alone = join(home, 'alone.wav');
  const out = (name: string) => ['revoice', input, '-o', join(home, name), '--track', '1'] as const;
  expect((await runCommand(...out('a.mid'), '--wav', wav)).code).toBe(0);
  expect((await runCommand(...out('b.mid'), '--wav', alone, '--voiced-only')).code).toBe(0);
  expect(levelAt(wav, 92)).toBeGreaterThan(levelAt(alone, 92) + 25);
  expect(levelAt(alone, 62)).toBeGreaterThan(20);
});

test('of a take it is what sounded, not what was played', async () => {
  const folder = join(home, 'home', 'takes');
  mkdirSync(folder, { recursive: true });
  const event = (direction: 'played' | 'sounded', at: number, ...bytes: number[]) =>
    formatEvent({ direction, atMicroseconds: at, bytes });
  const lines = [
    formatHead({ started: '2031-05-04T19:30:00.000Z', preset: 'shells', key: '' }),
    event('played', 0, 0x90, 91, 80),
    event('sounded', 0, 0x90, 57, 80),
    event('played', 1_500_000, 0x80, 91, 64),
    event('sounded', 1_500_000, 0x80, 57, 64),
    endLine,
  ];
  writeFileSync(join(folder, 'One.take'), lines.join(''));
  const { code, err } = await runCommand('takes', 'export', 'One', '--wav', wav);
  expect([code, err]).toEqual([0, `handspan: the sound is in ${wav}: 0 chords\n`]);
  expect(levelAt(wav, 57)).toBeGreaterThan(levelAt(wav, 91) + 40);
});

test('a disk that is full leaves no half file, and says so', async () => {
  Object.assign(disk, { full: home, room: 300_000 });
  const { code, err } = await runCommand('chart', 'tempo: 30\n| C | F | C | F |', '--wav', wav);
  expect(code).toBe(1);
  expect(err).toBe(`handspan: The sound could not be written to ${wav}: that disk is full.\n`);
  expect(existsSync(wav)).toBe(false);
  expect(readdirSync(home).filter((name) => name !== 'home')).toEqual([]);
});

test.each([
  [['--timbre', 'brass'], "'--timbre brass': there are struck and sustained."],
  [
    ['--timbre', 'struck'],
    "'--timbre struck': nothing is to sound; add '--wav FILE.wav' or '--listen'.",
  ],
  [['--loop'], "'--loop' is for listening; add '--listen'."],
  [['--from-bar', '2'], "'--from-bar' is for listening; add '--listen'."],
  [
    ['--listen', '--from-bar', '0'],
    "'--from-bar 0': bars are counted from 1; give the number of one, such as 9.",
  ],
  [
    ['--listen', '--from-bar', 'two'],
    "'--from-bar two': bars are counted from 1; give the number of one, such as 9.",
  ],
])('chart %s is refused in one sentence', async (words, sentence) => {
  const { code, out, err } = await runCommand('chart', '| C | F |', ...words);
  expect([code, out]).toEqual([2, '']);
  expect(err).toBe(`handspan: ${sentence} Try 'handspan chart --help'.\n`);
});

test('two files of one name, and a bar that is not there, are refused', async () => {
  const same = await runCommand('chart', '| C | F |', '--wav', wav, '--midi', wav);
  expect([same.code, same.err]).toEqual([
    2,
    `handspan: '--midi' and '--wav' name the same file ${wav}; give each a name of its own. Try 'handspan chart --help'.\n`,
  ]);
  const beyond = await runCommand('chart', '| C | F |', '--listen', '--from-bar', '3');
  expect([beyond.code, beyond.err]).toEqual([
    1,
    "handspan: '--from-bar 3': the chart has 2 bars as it is played.\n",
  ]);
  const alone = await runCommand('revoice', 'x.mid', '-o', wav, '--voiced-only');
  expect([alone.code, alone.err]).toEqual([
    2,
    "handspan: '--voiced-only': nothing is to sound; add '--wav FILE.wav'. Try 'handspan revoice --help'.\n",
  ]);
});
