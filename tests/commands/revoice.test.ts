import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import * as fc from 'fast-check';
import { parseMidi } from 'midi-file';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { createProgressBar } from '../../src/cli/progress-bar.ts';
import { casesOf } from '../helpers/round.ts';
import { file, track } from '../midi/smf.ts';
import { runCommand } from './run-command.ts';

let folder = '';
let input = '';
let output = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'revoice-'));
  process.env['HANDSPAN_HOME'] = join(folder, 'home');
  input = join(folder, 'plain.mid');
  output = join(folder, 'voiced.mid');
  writeFileSync(input, plain);
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const triad = (tick: number, ...notes: number[]) => [
  ...notes.map((note) => [tick, 0x90, note, 80] as const),
  ...notes.map((note) => [tick + 440, 0x80, note, 64] as const),
];
/** D minor, G, C: a bar each of two beats. */
const plain = file(
  0,
  480,
  track(
    [0, 0xff, 0x58, 4, 2, 2, 24, 8],
    ...triad(0, 62, 65, 69),
    ...triad(960, 62, 67, 71),
    ...triad(1920, 60, 64, 67),
  ),
);

const without = (text: string) => text.replaceAll(folder, 'FOLDER');

test('a file is voiced, and what was done is said', async () => {
  const { code, out, err } = await runCommand('revoice', input, '-o', output, '--key', 'C');
  expect([code, out]).toEqual([0, '']);
  expect(without(err)).toBe(
    'handspan: voiced 3 chords on track 1 channel 1; the file is FOLDER/voiced.mid\n',
  );
  const notes = parseMidi(readFileSync(output)).tracks[0]?.filter(({ type }) => type === 'noteOn');
  expect(notes).toHaveLength(12);
});

test('a chart written as MIDI is read whole: one bass, and it says from where', async () => {
  const chart = join(folder, 'chart.mid');
  const score = await runCommand('chart', '| Dm7 | G7 | Cmaj7 | % |', '--midi', chart);
  expect(score.code).toBe(0);
  const options = ['--preset', 'close-over-seventh'];
  const { code, err } = await runCommand('revoice', chart, '-o', output, ...options);
  expect(code).toBe(0);
  expect(without(err)).toBe(
    "handspan: voiced 4 chords read together from track 2 'Upper voices' channel 1, track 3 'Bass' " +
      "channel 1: bass to track 3 'Bass' channel 1, voices above it to track 2 'Upper voices' " +
      'channel 1; the file is FOLDER/voiced.mid\n' +
      'handspan: 4 of 4 read from the chord symbols in the file; --ignore-symbols reads the notes alone\n',
  );
  const basses = parseMidi(readFileSync(output)).tracks[2]?.filter(({ type }) => type === 'noteOn');
  expect(basses).toHaveLength(4);
});

test('what is printed, what sounds otherwise and what is analysed are told apart', async () => {
  const chart = join(folder, 'twice.mid');
  const options = ['--preset', 'drop-2-ninths', '--key', 'Bb'];
  const words = '| Cm | Cm | Ab/Bb | Ebmaj9 Eb6 | F7 | Bb | Ebmaj7 | G7 |';
  await runCommand('chart', words, ...options, '--midi', chart, '--force');
  const again = ['revoice', chart, '-o', output, ...options, '--json', '--force'];
  const { out, err } = await runCommand(...again);
  const printed = out.trim().split('\n').length;
  expect(printed).toBe(9);
  const said = /voiced (\d+) of 9 chords \((\d+) sounded so already\)/u.exec(err);
  expect(Number(said?.[1]) + Number(said?.[2])).toBe(printed);
  const analysed = (await runCommand('analyse', chart)).out;
  expect(analysed).toContain('8 chords, struck 9 times, in 8 bars');
});

test('chord symbols in the file are believed, said, and can be ignored', async () => {
  const chart = join(folder, 'chart.mid');
  const voicing = ['--preset', 'fourths-over-third', '--key', 'Am', '--midi', chart];
  await runCommand('chart', '| Am7 | Dm7 | E7 | Am7 |', ...voicing);
  const again = ['revoice', chart, '-o', output, '--preset', 'drop-2-ninths', '--json', '--force'];
  const heard = (out: string) =>
    out
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line).heard)
      .map(({ symbol, isWritten = false }) => [symbol, isWritten]);
  const believed = await runCommand(...again);
  expect(heard(believed.out)).toEqual(['Am7', 'Dm7', 'E7', 'Am7'].map((symbol) => [symbol, true]));
  const ignored = await runCommand(...again, '--ignore-symbols');
  expect(heard(ignored.out).map(([, isWritten]) => isWritten)).toEqual(Array(4).fill(false));
  expect(heard(ignored.out)).not.toContainEqual(['Am7', false]);
  expect(ignored.err).not.toContain('chord symbols');
});

test('what is left alone is said, and several tracks can be named', async () => {
  const melody = track(...[72, 74, 76].flatMap((note, i) => triad(i * 960, note)));
  const bass = track(...[38, 43, 36].flatMap((note, i) => triad(i * 960, note)));
  const chords = [
    [62, 65, 69],
    [62, 67, 71],
    [60, 64, 67],
  ].flatMap((notes, i) => triad(i * 960, ...notes));
  writeFileSync(input, file(1, 480, melody, track(...chords), bass));
  const { err } = await runCommand('revoice', input, '-o', output);
  expect(err).toContain(
    'left as they were: track 1 channel 1 (a line above the chords); --track N,N reads others',
  );
  const named = await runCommand('revoice', input, '-o', output, '--force', '--track', '1,2,3');
  expect(named.err).toContain('read together from track 1 channel 1, track 2 channel 1, track 3');
  expect(named.err).not.toContain('left as');
  const wrong = await runCommand('revoice', input, '-o', output, '--track', '1;2');
  expect([wrong.code, wrong.err]).toEqual([2, expect.stringContaining('write several as 2,3')]);
});

test('as JSON, a line a chord', async () => {
  const { out } = await runCommand('revoice', input, '-o', output, '--json');
  const lines = out
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line));
  expect(lines.map(({ tick, heard }) => [tick, heard.symbol])).toEqual([
    [0, 'Dm'],
    [960, 'G/D'],
    [1920, 'C'],
  ]);
  expect(lines[0]).toMatchObject({ track: 1, channel: 1, atMicroseconds: 0 });
});

test('scores and a hand-out come with it, in the metre of the file', async () => {
  const [xml, text] = [join(folder, 'a.musicxml'), join(folder, 'a.txt')];
  const { code, err } = await runCommand(
    ...['revoice', input, '-o', output, '--musicxml', xml, '--hand-out', text],
  );
  expect(code).toBe(0);
  expect(err).toContain('written in eighth notes by the beats of the file');
  expect(readFileSync(xml, 'utf8')).toMatch(/<beats>2<\/beats>\s*<beat-type>4</);
  const places = readFileSync(text, 'utf8')
    .split('\n')
    .filter((line) => /^\d+\./.test(line));
  expect(places.map((line) => line.slice(0, 3))).toEqual(['1.1', '2.1', '3.1']);
});

test('borrowed chords are spelled in the key wherever they are written: bVI of Eb is Cb', async () => {
  // R. Hutchinson, Music Theory for the 21st-Century Classroom, on mode mixture (from memory).
  writeFileSync(input, file(0, 480, track(...triad(0, 63, 67, 70), ...triad(960, 59, 63, 66))));
  const [xml, text] = [join(folder, 'a.musicxml'), join(folder, 'a.txt')];
  const options = ['--key', 'Eb', '--preset', 'drop-2-sevenths', '--musicxml', xml];
  const { code, out } = await runCommand(
    ...(['revoice', input, '-o', output, ...options, '--hand-out', text, '--json'] as const),
  );
  expect(code).toBe(0);
  const { heard, sent } = JSON.parse(out.trim().split('\n')[1] ?? '');
  expect([heard.symbol, sent.symbol]).toEqual(['Cb', 'Cbmaj7']);
  const names = sent.voices.map(({ name }: { name: string }) => name.replace(/\d+$/, ''));
  expect(names.toSorted()).toEqual(['Bb', 'Cb', 'Cb', 'Eb', 'Gb']);
  expect(readFileSync(xml, 'utf8')).toMatch(
    /<root-step>C<\/root-step>\s*<root-alter>-1<\/root-alter>/,
  );
  expect(readFileSync(text, 'utf8')).toMatch(/^1\.3 +Cb .*\n +bVI +sounds Cbmaj7;/m);
});

test('the pick-up of a chart comes back from its MIDI file', async () => {
  const [chart, xml] = [join(folder, 'chart.mid'), join(folder, 'a.musicxml')];
  await runCommand('chart', 'metre: 3/4\npickup: 1\n| G7 | C | F |', '--midi', chart);
  const words = ['revoice', chart, '-o', output, '--musicxml', xml];
  expect((await runCommand(...words)).code).toBe(0);
  const score = readFileSync(xml, 'utf8');
  expect([...score.matchAll(/<measure number="(\d+)"/g)].map(([, number]) => number)).toEqual([
    ...['0', '1', '2'],
  ]);
  expect([...score.matchAll(/<beats>(\d+)/g)].map(([, beats]) => beats)).toEqual(['3']);
  // The chart's own symbols stand above, what sounds below.
  const kinds = [...score.matchAll(/<kind text="([^"]*)"/g)].map(([, kind]) => kind);
  expect(kinds).toEqual(['7', '', '']);
  expect(score).toMatch(/<words[^>]*>C6\/9/);
});

test('the title is the one inside the file, or else the name of the file', async () => {
  const page = join(folder, 'a.txt');
  const titleOf = async (path: string) => {
    const words = ['revoice', path, '-o', output, '--hand-out', page, '--force'];
    expect((await runCommand(...words)).code).toBe(0);
    return readFileSync(page, 'utf8').split('\n')[0];
  };
  expect(await titleOf(input)).toBe('plain');
  const chart = join(folder, 'chart.mid');
  await runCommand('chart', 'title: Slow Kettle\n| Dm7 | G7 | Cmaj7 |', '--midi', chart);
  expect(await titleOf(chart)).toBe('Slow Kettle');
});

test('a score or a chart says which command voices it', async () => {
  const [xml, chart] = [join(folder, 'tune.musicxml'), join(folder, 'tune.txt')];
  await runCommand('chart', '| Dm7 | G7 |', '--musicxml', xml, '--chart', chart);
  for (const [path, what] of [
    [xml, 'a MusicXML score'],
    [chart, 'a text'],
  ] as const) {
    const { code, err } = await runCommand('revoice', path, '-o', output);
    expect([code, err]).toEqual([
      1,
      `handspan: ${path} is ${what}, no MIDI file; 'handspan chart ${path} --midi voiced.mid' voices its chord symbols.\n`,
    ]);
    const wanted = join(folder, `${what.length}.mid`);
    expect((await runCommand('chart', path, '--midi', wanted)).code).toBe(0);
  }
});

describe('what is refused leaves nothing behind', () => {
  const refused = async (code: number, ...argv: string[]) => {
    const outcome = await runCommand('revoice', ...argv);
    expect(outcome.code).toBe(code);
    expect(outcome.out).toBe('');
    return without(outcome.err);
  };

  test('no file, no place to write, a track that is none', async () => {
    expect(await refused(2)).toContain("'revoice' needs a MIDI file.");
    expect(await refused(2, input)).toContain("'revoice' needs '--out FILE' to write to.");
    expect(await refused(2, input, '-o', output, '--track', '0')).toContain('counted from 1');
    expect(await refused(2, input, '-o', output, '--channel', '17')).toContain('1 to 16');
    expect(await refused(2, input, '-o', output, '--key', 'H')).toContain('is not a key');
    expect(await refused(2, input, '-o', output, '--hand-out', 'a.doc')).toContain('.html');
    expect(await refused(2, input, '-o', output, '--paper', 'B5')).toContain('A4 and letter');
    for (const other of [[], ['--hand-out', 'a.txt']]) {
      expect(await refused(2, input, '-o', output, '--paper', 'A4', ...other)).toContain(
        "'--paper A4': nothing is engraved; add '--svg FILE.svg' or '--hand-out FILE.html'",
      );
    }
    expect(await refused(2, input, '-o', output, '--pdf', 'a.doc')).toContain('name it .pdf');
    expect(await refused(2, input, '-o', output, '--blanks', 'notes')).toContain(
      "nothing is handed out; add '--hand-out FILE.html'",
    );
  });

  test('a file that is not there, is a folder, or has no chord', async () => {
    expect(await refused(1, join(folder, 'no.mid'), '-o', output)).toBe(
      'handspan: FOLDER/no.mid cannot be read: there is no such file.\n',
    );
    expect(await refused(1, folder, '-o', output)).toContain('a folder or a device');
    expect(await refused(1, input, '-o', output, '--track', '2')).toContain(
      'there are no chords on track 2; they are on track 1 channel 1',
    );
    expect(existsSync(output)).toBe(false);
  });

  test('a file that is there already, unless forced', async () => {
    writeFileSync(output, 'mine');
    expect(await refused(1, input, '-o', output)).toContain('add --force');
    expect(readFileSync(output, 'utf8')).toBe('mine');
    expect((await runCommand('revoice', input, '-o', output, '--force')).code).toBe(0);
  });

  test('hostile bytes: one sentence, exit code 1, nothing half-written', async () => {
    const anyChange = fc.record({
      at: fc.nat(plain.length - 1),
      to: fc.nat(255),
      cut: fc.boolean(),
    });
    await fc.assert(
      fc.asyncProperty(fc.array(anyChange, { minLength: 1, maxLength: 6 }), async (changes) => {
        let bytes = Uint8Array.from(plain);
        for (const { at, to, cut } of changes) {
          if (cut) bytes = bytes.slice(0, at);
          else bytes[Math.min(at, bytes.length - 1)] = to;
        }
        writeFileSync(input, bytes);
        const { code, err } = await runCommand('revoice', input, '-o', output, '--force');
        expect([0, 1]).toContain(code);
        const lines = err.trim().split('\n');
        expect(lines.filter((line) => !/damaged event|without a status/.test(line))).toHaveLength(
          1,
        );
        const there = readdirSync(folder).filter((name) => name !== 'home');
        expect(there.filter((name) => name !== 'plain.mid' && name !== 'voiced.mid')).toEqual([]);
        if (code === 0) expect(() => parseMidi(readFileSync(output))).not.toThrow();
        rmSync(output, { force: true });
      }),
      { numRuns: casesOf(120), seed: 6 },
    );
  });
});

test('a bar shows how far it is, after a while, on a terminal only, and goes away', () => {
  const drawn: string[] = [];
  let now = 0;
  const stream = { isTTY: true, write: (text: string) => drawn.push(text) };
  const bar = createProgressBar(stream, 'Voicing', () => now);
  bar.show(1, 10);
  now = 500;
  bar.show(5, 10);
  bar.show(6, 10);
  now = 600;
  bar.show(10, 10);
  bar.clear();
  expect(drawn.map((text) => text.replace('\r', ''))).toEqual([
    `Voicing [${'#'.repeat(15)}${'.'.repeat(15)}]  50 %`,
    `Voicing [${'#'.repeat(30)}] 100 %`,
    '\u001b[K',
  ]);
  const silent = createProgressBar({ write: (text) => drawn.push(text) }, 'Voicing', () => 9e9);
  silent.show(1, 2);
  expect(drawn).toHaveLength(3);
});

describe('patterns of their own (format 2)', () => {
  const pattern = (root: number) =>
    track([0, 0xff, 0x51, 3, 7, 161, 32], ...triad(0, root, root + 4, root + 7));
  const drums = track([0, 0x99, 36, 80], [480, 0x89, 36, 64]);
  const patterns = file(2, 480, pattern(60), drums, pattern(65));
  const there = () => readdirSync(folder).filter((name) => name.startsWith('voiced'));

  test('each becomes a file, and what has no chord is said', async () => {
    writeFileSync(input, patterns);
    const { code, err } = await runCommand('revoice', input, '-o', output);
    expect(code).toBe(0);
    expect(there()).toEqual(['voiced-1.mid', 'voiced-3.mid']);
    expect(without(err)).toContain('the file is FOLDER/voiced-3.mid');
    expect(without(err)).toContain('Pattern 2 of FOLDER/plain.mid cannot be voiced');
    const { header, tracks } = parseMidi(readFileSync(join(folder, 'voiced-3.mid')));
    expect(header).toMatchObject({ format: 0, numTracks: 1 });
    expect(tracks[0]?.filter(({ type }) => type === 'setTempo')).toHaveLength(1);
    expect(tracks[0]?.filter(({ type }) => type === 'noteOn').length).toBeGreaterThan(2);
  });

  test('the one that is asked for goes where it was wanted', async () => {
    writeFileSync(input, patterns);
    const score = join(folder, 'score.musicxml');
    const asked = ['--track', '3', '--musicxml', score];
    expect((await runCommand('revoice', input, '-o', output, ...asked)).code).toBe(0);
    expect(there()).toEqual(['voiced.mid']);
    expect(existsSync(score)).toBe(true);
  });

  test('a pattern that is none, and a score of several, are refused before anything is written', async () => {
    writeFileSync(input, patterns);
    const none = await runCommand('revoice', input, '-o', output, '--track', '9');
    expect([none.code, without(none.err)]).toEqual([
      1,
      'handspan: FOLDER/plain.mid has 3 tracks, and none of those that were named.\n',
    ]);
    const score = ['--musicxml', join(folder, 'score.musicxml')];
    const several = await runCommand('revoice', input, '-o', output, ...score);
    expect([several.code, without(several.err)]).toEqual([
      1,
      'handspan: FOLDER/plain.mid has 3 tracks that are pieces of their own (format 2): name one with --track for its score.\n',
    ]);
    expect(there()).toEqual([]);
  });
});

test('what was damaged in the file is counted and said, and the file that is written is whole', async () => {
  const spoilt = Uint8Array.from(plain);
  const place = spoilt.indexOf(0x90) + 1;
  spoilt[place] = 0xbe;
  writeFileSync(input, spoilt);
  const { code, err } = await runCommand('revoice', input, '-o', output);
  expect(code).toBe(0);
  expect(err).toContain('handspan: 1 damaged event left out (a data byte above 127)\n');
  const notes = parseMidi(readFileSync(output)).tracks[0] ?? [];
  for (const event of notes)
    if (event.type === 'noteOn') expect(event.noteNumber).toBeLessThan(128);
});
