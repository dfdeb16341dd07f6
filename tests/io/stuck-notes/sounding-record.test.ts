/** The record of what sounds, from the process that dies to the one that ends its notes. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { readLeftSound } from '../../../src/io/stuck-notes/left-sound.ts';
import {
  formatRecord,
  openSoundingRecord,
  parseRecord,
  processOf,
  type SoundRecord,
} from '../../../src/io/stuck-notes/sounding-record.ts';

const chord: SoundRecord = {
  outputs: ['Synth', 'Handspan out'],
  sound: {
    notes: [
      { channel: 0, note: 48 },
      { channel: 15, note: 127 },
    ],
    pedals: [{ channel: 0, controller: 64 }],
  },
};
const silent: SoundRecord = { outputs: ['Synth'], sound: { notes: [], pedals: [] } };
const makeFolder = () => mkdtempSync(join(tmpdir(), 'handspan-sounding-'));
const now = Date.now();

/** Number of a process that has ended. */
let dead = 0;
beforeAll(() => {
  dead = spawnSync(process.execPath, ['-e', '']).pid;
});

function leave(folder: string, text: string, processId = dead): string {
  const path = join(folder, `${processId}-abc${readdirSync(folder).length}.json`);
  writeFileSync(path, text);
  return path;
}
const only = (folder: string): string =>
  readFileSync(join(folder, readdirSync(folder)[0] ?? ''), 'utf8');

describe('a record as text', () => {
  test('comes back as it went', () => {
    expect(parseRecord(formatRecord(chord))).toEqual(chord);
    expect(parseRecord(formatRecord(silent))).toEqual(silent);
  });

  test('always has the same length, so that none leaves the end of another', () => {
    expect(formatRecord(chord)).toHaveLength(formatRecord(silent).length);
    const many = Array.from({ length: 500 }, (_, i) => ({ channel: 15, note: 127 - (i % 9) }));
    expect(formatRecord({ ...chord, sound: { notes: many, pedals: [] } })).toHaveLength(4000);
  });

  test.each([
    ['nothing', ''],
    ['half a record', formatRecord(chord).slice(0, 40)],
    ['something else', '[1, 2]'],
    ['null', 'null'],
    ['no outputs', '{"notes":[],"pedals":[]}'],
    ['a note that is none', '{"outputs":["Synth"],"notes":[[0,128]],"pedals":[]}'],
    ['a channel that is none', '{"outputs":["Synth"],"notes":[[16,1]],"pedals":[]}'],
    ['a fraction', '{"outputs":["Synth"],"notes":[[0,1.5]],"pedals":[]}'],
    ['a pedal alone', '{"outputs":["Synth"],"notes":[],"pedals":[64]}'],
  ])('%s is none', (_what, text) => {
    expect(parseRecord(text)).toBeUndefined();
  });
});

describe('writing', () => {
  test('the last of many stands in the file; the end takes it away', async () => {
    const folder = makeFolder();
    const record = openSoundingRecord(folder, now);
    expect(record.problem).toBe('');
    expect(readdirSync(folder).map(processOf)).toEqual([process.pid]);
    for (let i = 0; i < 50; i += 1) record.write(chord);
    record.write(silent);
    await expect.poll(() => parseRecord(only(folder))).toEqual(silent);
    record.write(chord);
    record.clear();
    record.clear();
    expect(readdirSync(folder)).toEqual([]);
    record.write(chord);
  });

  test('a folder that cannot be made is said in one sentence, and nothing throws', () => {
    const file = join(makeFolder(), 'file');
    writeFileSync(file, '');
    const record = openSoundingRecord(join(file, 'sounding'), now);
    expect(record.problem).toMatch(/^What sounds cannot be noted in .*sounding \(.*\), so .*\.$/);
    record.write(chord);
    record.clear();
  });
});

describe('what was left', () => {
  test('is found, and gone once all its outputs are silent', () => {
    const folder = makeFolder();
    leave(folder, formatRecord(chord));
    const [left] = readLeftSound(folder, now);
    expect(left).toMatchObject(chord);
    left?.ended(['Synth', 'Another', 'Handspan out']);
    expect(readLeftSound(folder, now)).toEqual([]);
    expect(readdirSync(folder)).toEqual([]);
  });

  test('waits for an output that is not there yet', () => {
    const folder = makeFolder();
    leave(folder, formatRecord(chord));
    for (const left of readLeftSound(folder, now)) left.ended(['Handspan out']);
    expect(readLeftSound(folder, now)).toMatchObject([{ outputs: ['Synth'], sound: chord.sound }]);
    for (const left of readLeftSound(folder, now)) left.ended([]);
    for (const left of readLeftSound(folder, now)) left.ended(['Synth']);
    expect(readdirSync(folder)).toEqual([]);
  });

  test('a day later nobody hears it any more', () => {
    const folder = makeFolder();
    const path = leave(folder, formatRecord(chord));
    const yesterday = now / 1000 - 25 * 3600;
    utimesSync(path, yesterday, yesterday);
    expect(readLeftSound(folder, now)).toEqual([]);
    expect(readdirSync(folder)).toEqual([]);
  });

  test('belongs to whoever still runs', () => {
    const folder = makeFolder();
    leave(folder, formatRecord(chord), process.ppid);
    expect(readLeftSound(folder, now)).toEqual([]);
    expect(readdirSync(folder)).toHaveLength(1);
  });

  test('a process that had our own number is dead', () => {
    const folder = makeFolder();
    leave(folder, formatRecord(chord), process.pid);
    expect(readLeftSound(folder, now)).toHaveLength(1);
  });

  test('silence, rubbish and other files', () => {
    const folder = makeFolder();
    leave(folder, formatRecord(silent));
    leave(folder, 'rubbish');
    writeFileSync(join(folder, 'notes.txt'), 'mine');
    expect(readLeftSound(folder, now)).toEqual([]);
    expect(readdirSync(folder)).toEqual(['notes.txt']);
  });

  test('no folder, nothing left', () => {
    expect(readLeftSound(join(makeFolder(), 'none'), now)).toEqual([]);
  });
});
