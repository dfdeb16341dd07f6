/** `handspan chart` as a person or a script meets it. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseMidi, writeMidi } from 'midi-file';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { syntax, syntaxExample } from '../../src/chart/syntax.ts';
import { readChartInput } from '../../src/commands/chart/chart-input.ts';
import { strategyIds } from '../../src/voicing/voicing.ts';
import { runCommand } from '../commands/run-command.ts';

const folder = mkdtempSync(join(tmpdir(), 'handspan-chart-'));
const before = process.env['HANDSPAN_HOME'];
beforeAll(() => {
  process.env['HANDSPAN_HOME'] = folder;
});
afterAll(() => {
  if (before === undefined) delete process.env['HANDSPAN_HOME'];
  else process.env['HANDSPAN_HOME'] = before;
  rmSync(folder, { recursive: true });
});

function chartToMidi(): Uint8Array {
  return Uint8Array.from(
    writeMidi({ header: { format: 0, numTracks: 1, ticksPerBeat: 96 }, tracks: [[]] }),
  );
}

const changes = '| Dm7 | G7 | Cmaj7 | % |';

type Answer = {
  readonly preset: string;
  readonly strategy: string;
  readonly cost: number;
  readonly chords: readonly Readonly<Record<string, unknown>>[];
};

async function json(...argv: readonly string[]): Promise<Answer> {
  const { code, out, err } = await runCommand('chart', ...argv, '--json');
  expect(err).toBe('');
  expect(code).toBe(0);
  return JSON.parse(out);
}

describe('a chart that is in order', () => {
  test('is answered as JSON of the stated shape', async () => {
    const answer = await json(changes, '--strategy', 'drop-2');
    expect(Object.keys(answer)).toEqual(['preset', 'strategy', 'cost', 'chords']);
    expect(answer).toMatchObject({ preset: 'drop-2-sevenths', strategy: 'drop-2' });
    expect(answer.chords).toHaveLength(4);
    for (const chord of answer.chords) {
      const place = ['symbol', 'bar', 'beat', 'beats', 'numeral', 'function'];
      expect(Object.keys(chord)).toEqual([
        ...place,
        ...['notes', 'sounds', 'label', 'technique', 'givenUp', 'leftOut', 'writtenBar', 'section'],
        'chosen',
      ]);
      const [note] = chord['notes'] as readonly object[];
      expect(Object.keys(note ?? {})).toEqual(['midi', 'name', 'degree', 'part']);
    }
  });

  test('the technique is the strategy that was really used, silence has none', async () => {
    const { chords } = await json('| Cmaj7 | Caug | N.C. |', '--preset', 'shells');
    expect(chords.map(({ technique }) => technique)).toEqual(['shell', 'spread', '']);
  });

  test('in parallel it is that of the shape', async () => {
    const { chords } = await json('| Dm7 | Ebm7 | Em7 |', '--preset', 'fourths-in-parallel');
    expect(chords.map(({ technique }) => technique)).toEqual(['fourths', 'fourths', 'fourths']);
  });

  test.each(strategyIds)('in %s, in the preset that means it', async (strategy) => {
    const answer = await json(changes, '--strategy', strategy);
    expect(answer.strategy).toBe(strategy);
  });

  test('as text: numerals under the symbols in a key, and what is left out', async () => {
    // VI7 is the dominant of ii, the substitute of V stands a semitone above I: see numerals.
    const lines = ['key: C', '| Dm7b5 A7 | Dm7 Db7 | Cmaj9 N.C. |'].join('\n');
    const { out } = await runCommand('chart', lines, '--preset', 'shells');
    const parts = out.split('\n').slice(2);
    expect(parts.map((line) => line.replace(/; top .*$/, ''))).toEqual([
      '1.1    Dm7b5  D3 1     F3 b3    C4 b7',
      '       iiø7   shell, R-3-7; sounds Dm7',
      '              left out: b5',
      '1.3    A7     A2 1     G3 b7    C#4 3',
      '       V7/ii  shell, R-7-3; sounds A7',
      '2.1    Dm7    D3 1     F3 b3    C4 b7',
      '       ii7    shell, R-3-7; sounds Dm7',
      '2.3    Db7    Db3 1    F3 3     Cb4 b7',
      '       subV7  shell, R-3-7; sounds Db7',
      '3.1    Cmaj9  C3 1     E3 3     B3 7',
      '       Imaj7  shell, R-3-7; sounds Cmaj7',
      '              left out: 9',
      '3.3    N.C.',
      '              silence',
      '',
    ]);
    const plain = await runCommand('chart', 'Dm7 G7', '--preset', 'shells');
    expect(plain.out).not.toContain('ii7');
  });

  test('key, bass, voices and register are obeyed', async () => {
    const answer = await json(
      ...[changes, '--preset', 'close-as-played', '--bass', 'pedal=C2', '--voices', '4'],
      ...['--register', 'C3-G5', '--key', 'C'],
    );
    for (const { notes } of answer.chords) {
      const [bass, ...upper] = notes as readonly { midi: number; part: string }[];
      expect(bass).toMatchObject({ midi: 36, part: 'bass' });
      expect(upper).toHaveLength(4);
      expect(upper[0]?.midi).toBeGreaterThanOrEqual(48);
      expect(upper.at(-1)?.midi).toBeLessThanOrEqual(79);
    }
  });

  test('is read from a file, and as several words', async () => {
    const file = join(folder, 'tune.txt');
    writeFileSync(file, `title: Two\n${changes}\n`);
    const fromFile = await runCommand('chart', file);
    expect(fromFile.code).toBe(0);
    expect(fromFile.out).toMatch(/^Two\n/);
    expect((await json('Dm7', 'G7', 'Cmaj7')).chords).toHaveLength(3);
  });

  test('is read from standard input', async () => {
    async function* input() {
      yield '| C |';
      yield new TextEncoder().encode(' F |');
    }
    expect(await readChartInput(['-'], input())).toEqual({
      ok: true,
      value: { text: '| C | F |', source: 'standard input', isMusicXml: false },
    });
  });

  test('a pick-up and other metres stand where they should, in the MIDI file and the score', async () => {
    const [midi, xml] = ['ferry.mid', 'ferry.musicxml'].map((name) => join(folder, name));
    const text = 'pickup: 2\n| G7 / | C | F |\nmetre: 3/4\n| Am | G |';
    const words = ['chart', text, '--midi', midi ?? '', '--musicxml', xml ?? ''];
    expect((await runCommand(...words)).code).toBe(0);
    const [first = []] = parseMidi(readFileSync(midi ?? '')).tracks;
    let tick = 0;
    const metres = first.flatMap((event) => {
      tick += event.deltaTime;
      return event.type === 'timeSignature'
        ? [`${event.numerator}/${event.denominator} at ${tick}`]
        : [];
    });
    expect(metres).toEqual(['2/4 at 0', '4/4 at 960', '3/4 at 4800']);
    const score = readFileSync(xml ?? '', 'utf8');
    const bars = [...score.matchAll(/<measure number="(\d+)"( implicit="yes")?>/g)];
    expect(bars.map(([, number, implicit]) => `${number}${implicit ?? ''}`)).toEqual([
      ...['0 implicit="yes"', '1', '2', '3', '4'],
    ]);
    expect([...score.matchAll(/<beats>(\d+)/g)].map(([, beats]) => beats)).toEqual(['4', '3']);
  });

  test('is written as a MIDI file, and never over another', async () => {
    const file = join(folder, 'tune.mid');
    const first = await runCommand('chart', changes, '--midi', file);
    expect(first.code).toBe(0);
    expect(readFileSync(file).subarray(0, 4).toString()).toBe('MThd');
    const waltz = join(folder, 'waltz.mid');
    await runCommand('chart', 'metre: 3/4\nkey: Eb\n| Eb | Fm7 |', '--midi', waltz);
    expect(parseMidi(readFileSync(waltz)).tracks[0]).toMatchObject([
      { type: 'setTempo' },
      { type: 'timeSignature', numerator: 3, denominator: 4 },
      { type: 'keySignature', key: -3, scale: 0 },
      { type: 'marker', text: 'Eb' },
      { type: 'marker', text: 'Fm7' },
      { type: 'endOfTrack' },
    ]);
    const second = await runCommand('chart', changes, '--midi', file);
    expect(second).toMatchObject({ code: 1, out: '' });
    expect(second.err).toMatch(/would overwrite .*tune\.mid/);
  });

  test('the help shows the whole syntax', async () => {
    const { out } = await runCommand('chart', '--help');
    for (const sign of ['|:', '%', 'N.C.', 'metre: 3/4']) expect(out).toContain(sign);
    for (const line of out.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  });
});

describe('a file that is no chart gets one sentence', () => {
  const prose = Array.from({ length: 300 }, () => 'Dear all, we meet at eight.').join('\n');
  const score = '<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"/>';
  test.each<readonly [string, Uint8Array | string, RegExp]>([
    ['tune.mid', chartToMidi(), /tune\.mid is a MIDI file; 'handspan revoice .*tune\.mid -o/],
    ['kept.chart', chartToMidi(), /kept\.chart is a MIDI file; 'handspan revoice/],
    ['page.pdf', '%PDF-1.7 …', /page\.pdf is a PDF; a chart is text\.\n$/],
    ['page.png', Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 13, 10), /page\.png is a picture/],
    ['mine.json', '{ "name": "Mine" }', /mine\.json is JSON; .*presets check/],
    ['page.svg', score, /page\.svg is XML, but no MusicXML score\.\n$/],
    [
      'letter.txt',
      prose,
      /letter\.txt is no chart: most of its words.*line 1; 'handspan help charts'/,
    ],
    [
      'latin.txt',
      Uint8Array.of(0x43, 0x20, 0xe9, 0x0a),
      /latin\.txt cannot be read: it is not UTF-8/,
    ],
  ])('%s', async (name, content, sentence) => {
    const file = join(folder, name);
    writeFileSync(file, content);
    const { code, out, err } = await runCommand('chart', file);
    expect([code, out]).toEqual([1, '']);
    expect(err).toMatch(sentence);
    expect(err.split('\n')).toHaveLength(2);
  });

  test('many mistakes in a chart are counted after the first dozen', async () => {
    const text = `| C | F | G | Am |\n${Array.from({ length: 30 }, () => '| C | F | Fmjor |').join('\n')}`;
    const { err } = await runCommand('chart', text);
    expect(err.trimEnd().split('\n')).toHaveLength(13);
    expect(err).toContain('handspan: chart: 18 more like these.');
  });
});

test('what was not said exactly is remarked on, and done', async () => {
  const { code, out, err } = await runCommand('chart', '| Dm7 G7 C | C |');
  expect([code, err]).toEqual([
    0,
    'handspan: chart:1:3: 3 chords share 4 beats as 2 + 1 + 1; mark the beats with / to have it otherwise.\n',
  ]);
  expect(out).toMatch(/1\.1 +Dm7[\s\S]*1\.3 +G7[\s\S]*1\.4 +C/);
});

test('a form keeps its bars and sections, in JSON and as text', async () => {
  const text = '[A] |: Dm7 |1. G7 :|2. C ||\n[B] | F |';
  const { chords } = await json(text);
  const told = chords.map(({ symbol, bar, writtenBar, section }) => [
    symbol,
    bar,
    writtenBar,
    section,
  ]);
  expect(told).toEqual([
    ['Dm7', 1, 1, 'A'],
    ['G7', 2, 2, 'A'],
    ['Dm7', 3, 1, 'A'],
    ['C', 4, 3, 'A'],
    ['F', 5, 4, 'B'],
  ]);
  const { out } = await runCommand('chart', text);
  expect(out.split('\n')[0]).toContain('5 bars (4 on the page)');
  expect(out.split('\n').filter((line) => line.startsWith('['))).toEqual(['[A]', '[A]', '[B]']);
});

test('a chart is written as text again', async () => {
  const file = join(folder, 'again.txt');
  const { code, err } = await runCommand('chart', '# ours\n| C-7 | F7 |', '--chart', file);
  expect([code, err]).toEqual([0, `handspan: the chart is in ${file}: 2 bars, 2 chords\n`]);
  expect(readFileSync(file, 'utf8')).toBe('# ours\n| Cm7 | F7 |\n');
});

test('the help on charts has the whole syntax and an example that plays', async () => {
  const { out } = await runCommand('help', 'charts');
  for (const [sign] of syntax) expect(out).toContain(sign);
  const lines = out.split('\n');
  const from = lines.findIndex((line) => line.startsWith('  # An invented'));
  const to = lines.findIndex((line, place) => place > from && line === '');
  const example = lines.slice(from, to).map((line) => line.slice(2));
  expect(`${example.join('\n')}\n`).toBe(syntaxExample);
  for (const line of lines) expect(line.length).toBeLessThanOrEqual(80);
  expect((await json(syntaxExample)).chords.length).toBeGreaterThan(25);
});

describe('what is wrong is said in one sentence', () => {
  test.each<readonly [string, readonly string[], number, RegExp]>([
    ['a symbol', ['| C | Fmjor |'], 1, /^handspan: chart:1:7: .*"Fmjor".*perhaps F\S+\.\n$/],
    ['no chart', [], 2, /needs a chart/],
    [
      'a strategy',
      [changes, '--strategy', 'drop2'],
      2,
      /no strategy 'drop2' \(nearest: 'drop-2'\)/,
    ],
    [
      'a bass',
      ['| Cm7/H |'],
      1,
      /^handspan: chart:1:3: .*character 5: 'H' is no bass: .*Cm7\/B\.\n$/,
    ],
    [
      'no end',
      ['| Am7(13 |'],
      1,
      /^handspan: chart:1:3: .*character 4: '\(' is not .*Am7\(13\)\.\n$/,
    ],
    [
      'a preset and a strategy',
      [changes, '--preset', 'shells', '--strategy', 'open'],
      2,
      /'--preset' and '--strategy' both say how it is voiced; give one of them/,
    ],
    ['a preset', [changes, '--preset', 'shelss'], 1, /no preset 'shelss' \(nearest: 'shells'\)/],
    ['a key', [changes, '--key', 'H'], 2, /key "H" is not a key/],
    ['a bass policy', [changes, '--bass', 'rot'], 2, /no bass policy 'rot' \(nearest: 'root'\)/],
    ['a pedal', [changes, '--bass', 'root=C2'], 2, /only a pedal does/],
    [
      'voices',
      [changes, '--strategy', 'drop-2', '--voices', '3'],
      2,
      /3 voices do not suit 'drop-2'; give exactly 4/,
    ],
    ['no number', [changes, '--voices', 'many'], 2, /'many' is not a number of voices/],
    ['a register', [changes, '--register', 'C3'], 2, /'--register': 'C3' is not a register/],
    [
      'a narrow one',
      [changes, '--strategy', 'fourths', '--register', 'C4-E4'],
      1,
      /C4-E4 is too small.*the smallest that works there is C4-\S+\.\n$/,
    ],
    ['a file', ['no-such-tune.txt'], 1, /no-such-tune\.txt cannot be read: there is no such file/],
  ])('%s', async (_name, argv, exit, sentence) => {
    const { code, out, err } = await runCommand('chart', ...argv);
    expect(err).toMatch(sentence);
    expect(code).toBe(exit);
    expect(out).toBe('');
  });
});
