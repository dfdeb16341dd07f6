/** WAV files: level, limit, silence, length, and what other programs read in their heads. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { createSoundGraph } from '../../src/io/sound/graph.ts';
import { loadAudioLibrary } from '../../src/io/sound/library.ts';
import type { Moment } from '../../src/midi/file-moments.ts';
import { createInstrument } from '../../src/sound/instrument.ts';
import { levels } from '../../src/sound/level.ts';
import { timbreNames } from '../../src/sound/timbre.ts';
import { hasProgram } from '../helpers/outside.ts';
import { isShortRound, sampled } from '../helpers/round.ts';
import { decibels, effectiveLevel, off, on, peakOf, rate, soundOf, wavOf } from './rendering.ts';

const folder = mkdtempSync(join(tmpdir(), 'handspan-wav-'));
afterAll(() => rmSync(folder, { recursive: true }));

const chord = (at: number, length: number, notes: readonly number[], velocity = 90): Moment[] => [
  { at, messages: notes.map((note) => on(note, velocity)) },
  { at: at + length, messages: notes.map((note) => off(note)) },
];

test.each(timbreNames)(
  '%s: twenty voices at full velocity stay below -1 dBFS at any level',
  async (timbre) => {
    const notes = Array.from({ length: 20 }, (_, place) => 36 + place * 3);
    // Together, in a row, and the same octaves, whose waves add up.
    const moments = [
      ...chord(0, 1, notes, 127),
      ...notes.flatMap((note, place) => [{ at: 2 + place / 50, messages: [on(note, 127)] }]),
      { at: 3, messages: notes.map((note) => off(note)) },
      ...chord(
        4,
        1,
        notes.map((_, place) => 36 + 12 * (place % 5)),
        127,
      ),
    ];
    for (const level of sampled([levels.file, levels.loudest], 2)) {
      const { left, right } = soundOf(await wavOf(moments, timbre, level));
      const peak = decibels(Math.max(peakOf(left), peakOf(right)));
      expect(peak).toBeLessThan(-1);
      expect(peak).toBeGreaterThan(-20);
    }
  },
);

test.each(timbreNames)(
  '%s: a usual chord at the first level peaks at about -20 dBFS',
  async (timbre) => {
    const sound = soundOf(await wavOf(chord(0, 2, [43, 59, 62, 66, 69]), timbre, levels.first));
    const peak = decibels(Math.max(peakOf(sound.left), peakOf(sound.right)));
    expect(peak).toBeGreaterThan(-23);
    expect(peak).toBeLessThan(-17);
  },
);

test.each(timbreNames)('%s: the level rises with the velocity', async (timbre) => {
  const velocities = [1, 8, 20, 32, 48, 64, 80, 96, 112, 127];
  const moments = velocities.flatMap((velocity, place) => chord(place * 2, 0.5, [60], velocity));
  const { left } = soundOf(await wavOf(moments, timbre));
  const heard = velocities.map((_, place) =>
    effectiveLevel(left.subarray(place * 2 * rate, (place * 2 + 0.5) * rate)),
  );
  for (const [place, level] of heard.slice(1).entries()) {
    expect(level).toBeGreaterThan(heard[place] ?? 1);
  }
});

test.each(timbreNames)('%s: silence when the release is over', async (timbre) => {
  const { left, right } = soundOf(await wavOf(chord(0.1, 1, [40, 55, 64, 71]), timbre));
  expect(peakOf(left.subarray(0, 0.099 * rate))).toBe(0);
  expect(peakOf(left.subarray(0.1 * rate, 0.2 * rate))).toBeGreaterThan(0.02);
  // 1.3 s behind the last note-off; the file ends 0.2 s after the last voice.
  expect(left.length / rate).toBeLessThan(1.1 + 1.3 + 0.3);
  const end = Math.round(left.length - 0.19 * rate);
  expect(Math.max(peakOf(left.subarray(end)), peakOf(right.subarray(end)))).toBe(0);
});

test.skipIf(isShortRound)('what is added up from stretches is what sounds in one go', async () => {
  const library = await loadAudioLibrary();
  if (!library.ok) throw new Error(library.problem);
  // Voices that reach over the ends of stretches, of both kinds, with a bend, a pedal, a volume.
  const moments: Moment[] = [
    {
      at: 0,
      messages: [{ type: 'programChange', channel: 1, program: 50 }, on(36), on(48, 70, 1)],
    },
    { at: 6, messages: [on(60), on(64, 127)] },
    { at: 7.9, messages: [{ type: 'controlChange', channel: 0, controller: 64, value: 127 }] },
    { at: 8.1, messages: [off(60), off(64)] },
    { at: 9, messages: [{ type: 'pitchBend', channel: 1, value: 12_288 }] },
    { at: 12, messages: [{ type: 'controlChange', channel: 1, controller: 7, value: 60 }] },
    { at: 15.5, messages: Array.from({ length: 12 }, (_, place) => on(50 + place, 127)) },
    { at: 16.5, messages: [{ type: 'controlChange', channel: 0, controller: 64, value: 0 }] },
    { at: 17, messages: Array.from({ length: 12 }, (_, place) => off(50 + place)) },
    { at: 18, messages: [off(36), off(48, 1)] },
  ];
  const { left } = soundOf(await wavOf(moments, 'struck', levels.file));
  const context = new library.value.OfflineAudioContext(2, left.length, rate);
  const graph = createSoundGraph(library.value, context);
  const instrument = createInstrument({ timbre: 'struck', level: levels.file, isFile: true });
  for (const { at, messages } of moments) graph.apply(instrument.receive(messages, at));
  const whole = (await context.startRendering()).getChannelData(0);
  const difference = left.map((sample, place) => sample - (whole[place] ?? 0));
  expect(decibels(peakOf(left))).toBeGreaterThan(-12);
  expect(decibels(peakOf(difference))).toBeLessThan(-80);
});

test.skipIf(isShortRound)(
  'a note held for a minute keeps its level and its pitch where it is handed on',
  async () => {
    const { left } = soundOf(await wavOf(chord(0, 65, [57]), 'sustained'));
    const part = (at: number) => left.subarray(at * rate, (at + 0.05) * rate);
    const usual = effectiveLevel(part(1));
    for (let at = 1; at < 64; at += 0.05) {
      expect(Math.abs(decibels(effectiveLevel(part(at)) / usual)), `at ${at}`).toBeLessThan(0.2);
    }
    expect(left.length / rate).toBeLessThan(67);
  },
);

test.skipIf(!hasProgram('sox'))('sox reads the head of the file', async () => {
  const path = join(folder, 'chord.wav');
  const wav = await wavOf(chord(0, 1, [60, 64, 67]));
  writeFileSync(path, wav);
  const ask = (option: string) =>
    spawnSync('sox', ['--info', option, path], { encoding: 'utf8' }).stdout.trim();
  expect(ask('-r')).toBe('44100');
  expect(ask('-c')).toBe('2');
  expect(ask('-b')).toBe('16');
  expect(ask('-e')).toBe('Signed Integer PCM');
  expect(Number(ask('-s'))).toBe((wav.length - 44) / 4);
  const { status, stderr } = spawnSync('sox', [path, '-n', 'stat'], { encoding: 'utf8' });
  expect(status).toBe(0);
  expect(stderr).not.toMatch(/WARN|FAIL/);
});
