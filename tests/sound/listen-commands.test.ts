/** What `chart --listen` and `takes listen` give the sound to play, and when. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { SoundHost, SoundWish } from '../../src/io/sound/sound-host.ts';
import { endLine, formatChordLine, formatEvent, formatHead } from '../../src/take/journal.ts';
import { runCommand } from '../commands/run-command.ts';
import { reportOf } from '../take/reports.ts';

type Played = { readonly bytes: readonly number[]; readonly at: number };
const heard: { wishes: SoundWish[]; played: Played[]; isClosed: boolean } = {
  wishes: [],
  played: [],
  isClosed: false,
};

vi.mock('../../src/io/sound/sound-host.ts', () => ({
  startSound: async (wish: SoundWish) => {
    heard.wishes.push(wish);
    const value: SoundHost = {
      facts: { device: '', sampleRate: 48_000, baseLatency: 0, outputLatency: 0 },
      socket: '',
      play: (bytes, atMicroseconds) => heard.played.push({ bytes, at: atMicroseconds / 1e6 }),
      setLevel: () => {},
      silence: () => {},
      close: async () => {
        heard.isClosed = true;
      },
    };
    return { ok: true, value };
  },
}));

let home = '';
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), 'handspan-listen-'));
  process.env['HANDSPAN_HOME'] = home;
  Object.assign(heard, { wishes: [], played: [], isClosed: false });
});
afterEach(() => rmSync(home, { recursive: true, force: true }));

/** Note-ons by the second, counted from the first of all: '0.50 60 64'. */
function struck(isWanted: (channel: number) => boolean): readonly string[] {
  const ons = heard.played.filter(
    ({ bytes: [status = 0, , velocity = 0] }) => status >> 4 === 9 && velocity > 0,
  );
  const origin = Math.min(...ons.map(({ at }) => at));
  const moments = new Map<string, number[]>();
  for (const {
    bytes: [status = 0, note = 0],
    at,
  } of ons) {
    if (!isWanted(status & 15)) continue;
    const time = (at - origin).toFixed(2);
    moments.set(time, [...(moments.get(time) ?? []), note]);
  }
  return [...moments].map(([time, notes]) => `${time} ${notes.sort((a, b) => a - b).join(' ')}`);
}

test('a chart from its second bar, counted in and with a click', async () => {
  const words = ['chart', 'tempo: 240\nmetre: 3/4\n| C | F | G |', '--preset', 'close-as-played'];
  const { code, err } = await runCommand(
    ...words,
    '--listen',
    '--from-bar',
    '2',
    '--click',
    '--count-in',
    '--timbre',
    'sustained',
  );
  expect(code).toBe(0);
  expect(heard.wishes).toMatchObject([{ timbre: 'sustained', level: -10, isFile: true }]);
  expect(heard.isClosed).toBe(true);
  const [f, g, ...more] = struck((channel) => channel === 0);
  expect(more).toEqual([]);
  // A bar of three is counted; a bar lasts 0.75 s.
  expect([f?.slice(0, 4), g?.slice(0, 4)]).toEqual(['0.75', '1.50']);
  expect(struck((channel) => channel === 9)).toEqual([
    '0.00 76',
    '0.25 77',
    '0.50 77',
    '0.75 76',
    '1.00 77',
    '1.25 77',
    '1.50 76',
    '1.75 77',
    '2.00 77',
  ]);
  expect(err).toContain('set your monitors low');
  expect(err).toMatch(/2\.1 +F +F.*\n3\.1 +G /);
});

test('a take: what sounded, in its own time', async () => {
  const folder = join(home, 'takes');
  mkdirSync(folder, { recursive: true });
  const event = (direction: 'played' | 'sounded', at: number, ...bytes: number[]) =>
    formatEvent({ direction, atMicroseconds: at, bytes });
  const lines = [
    formatHead({ started: '2031-05-04T19:30:00.000Z', preset: 'shells', key: '' }),
    event('played', 1_000_000, 0x90, 91, 80),
    event('sounded', 1_000_000, 0x90, 57, 80),
    formatChordLine(reportOf(1_000_000, 'Am', ['A3'])),
    event('sounded', 1_400_000, 0x80, 57, 64),
    event('sounded', 1_500_000, 0x90, 59, 80),
    event('sounded', 1_600_000, 0x80, 59, 64),
    endLine,
  ];
  writeFileSync(join(folder, 'One.take'), lines.join(''));
  const { code, err } = await runCommand('takes', 'listen', 'One');
  expect(code).toBe(0);
  expect(struck(() => true)).toEqual(['0.00 57', '0.50 59']);
  expect(err).toMatch(/0:00 +Am +A3/);
  const wrong = await runCommand('takes', 'listen', 'One', '--timbre', 'x');
  expect(wrong.code).toBe(2);
});

test('a pick-up is counted in by what its bar lacks', async () => {
  await runCommand('chart', 'tempo: 240\npickup: 1\n| C | F |', '--listen', '--count-in');
  const clicks = struck((channel) => channel === 9);
  const chords = struck((channel) => channel === 0).map((line) => line.slice(0, 4));
  expect(clicks.map((line) => line.slice(0, 4))).toEqual(['0.00', '0.25', '0.50']);
  expect(chords[0]).toBe('0.75');
});
