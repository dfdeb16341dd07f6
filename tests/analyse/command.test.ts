/** `handspan analyse` as a command: its answer as text and JSON, and what it says of bad input. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Ajv } from 'ajv';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { analyse } from '../../src/analyse/analyse.ts';
import { passageOfMidi } from '../../src/analyse/midi-passage.ts';
import { techniqueIds } from '../../src/harmony/naming/technique-id.ts';
import { readMidiFile } from '../../src/midi/read-midi-file.ts';
import { meta, writeStandardMidiFile } from '../../src/midi/standard-midi-file.ts';
import { endLine, formatChordLine, formatEvent, formatHead } from '../../src/take/journal.ts';
import { runCommand } from '../commands/run-command.ts';
import { file, track } from '../midi/smf.ts';
import { reportOf } from '../take/reports.ts';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'analyse-'));
  process.env['HANDSPAN_HOME'] = join(folder, 'home');
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const chord = (tick: number, ...notes: number[]) => [
  ...notes.map((each) => [tick, 0x90, each, 80] as const),
  ...notes.map((each) => [tick + 900, 0x80, each, 64] as const),
];

const write = (name: string, bytes: Uint8Array): string => {
  const path = join(folder, name);
  writeFileSync(path, bytes);
  return path;
};

/** Fourths over the third of Bb, then a step up and back, in half notes. */
const fourths = file(
  0,
  480,
  track(...chord(0, 38, 60, 65, 70), ...chord(960, 40, 62, 67, 72), ...chord(1920, 38, 60, 65, 70)),
);

const note = {
  type: 'object',
  required: ['midi', 'name', 'degree', 'part'],
  additionalProperties: false,
  properties: {
    midi: { type: 'integer', minimum: 0, maximum: 127 },
    name: { type: 'string', pattern: '^[A-G](#|b)*-?\\d$' },
    degree: { type: 'string', pattern: '^[b#]*\\d+$' },
    part: { enum: ['bass', 'upper'] },
  },
};
const form = {
  type: 'object',
  required: ['key', 'chords', 'summary', 'remarks'],
  properties: {
    remarks: { type: 'array', items: { type: 'string' } },
    key: { type: 'string' },
    chords: {
      type: 'array',
      items: {
        type: 'object',
        required: [
          ...['bar', 'beat', 'symbol', 'notes', 'technique', 'label', 'bass', 'motion'],
          'confidence',
        ],
        properties: {
          bar: { type: 'integer', minimum: 0 },
          beat: { type: 'number', minimum: 1 },
          symbol: { type: 'string', minLength: 1 },
          notes: { type: 'array', minItems: 3, items: note },
          technique: { enum: [...techniqueIds, 'none'] },
          label: { type: 'string', minLength: 1 },
          bass: { enum: ['root', 'inversion', 'pedal', 'foreign', 'line', 'none'] },
          motion: { type: ['object', 'null'] },
          confidence: { type: 'number', minimum: 0, maximum: 1 },
        },
      },
    },
    summary: { type: 'object', required: ['techniques', 'registers', 'voices', 'sentences'] },
  },
};

test('as JSON: chords with their notes, and a summary, in the form that is promised', async () => {
  const { code, out } = await runCommand('analyse', write('a.mid', fourths), '--json');
  expect(code).toBe(0);
  const answer = JSON.parse(out);
  const isForm = new Ajv({ strict: false }).compile(form);
  expect(isForm(answer), JSON.stringify(isForm.errors)).toBe(true);
  expect(answer.chords).toHaveLength(3);
  expect(answer.chords.map(({ bar, beat }: { bar: number; beat: number }) => [bar, beat])).toEqual([
    [1, 1],
    [1, 3],
    [2, 1],
  ]);
  expect(answer.summary.techniques).toEqual({ fourths: 3 });
  expect(answer.chords[1].motion).toEqual({
    ...{ semitones: 6, commonTones: 0, top: 2, bass: 2 },
    kind: 'parallel',
  });
});

test('a long passage is whole as JSON, and tells how far it is', async () => {
  const chords = Array.from({ length: 601 }, (_, each) =>
    chord(each * 960, 38 + (each % 5), 60 + (each % 5), 65 + (each % 3), 70 + (each % 2)),
  );
  const bytes = file(0, 480, track(...chords.flat()));
  const { out } = await runCommand('analyse', write('long.mid', bytes), '--json');
  const report = JSON.parse(out);
  expect(report.chords).toHaveLength(601);
  expect(report.summary.chords).toBe(601);
  const read = readMidiFile(bytes);
  const passage = read.ok ? passageOfMidi(read.value) : read;
  if (!passage.ok) throw new Error(passage.problem);
  const told: number[] = [];
  const onProgress = (done: number, of: number) => told.push(done / of);
  expect(analyse(passage.value, { onProgress }).ok).toBe(true);
  expect(told).toEqual([...told].sort((one, other) => one - other));
  expect(told.at(-1)).toBe(1);
});

test('as text: the whole in sentences, then each chord', async () => {
  const { code, out } = await runCommand('analyse', write('a.mid', fourths));
  expect(code).toBe(0);
  expect(out).toContain('All 3 chords are fourths.');
  expect(out).toMatch(/^1\.1 +Bbadd9\/D +D2 3 +C4 9 +F4 5 +Bb4 1$/mu);
  expect(out).toContain('P4 P4');
});

test('what is no music, no chord or no file is said in one sentence', async () => {
  const drums = file(0, 480, track([0, 0x99, 36, 80], [10, 0x99, 38, 80], [20, 0x99, 42, 80]));
  const line = file(0, 480, track(...chord(0, 60), ...chord(960, 62), ...chord(1920, 64)));
  const cases: readonly (readonly [path: string, said: RegExp])[] = [
    [join(folder, 'nothing.mid'), /cannot be read: /],
    [write('words.mid', new TextEncoder().encode('a b c')), /does not begin with MThd/],
    [write('drums.mid', drums), /no notes outside percussion/],
    [write('line.mid', line), /three different notes/],
    [write('empty.mid', file(0, 480, track())), /cannot be analysed/],
    [write('patterns.mid', file(2, 480, track(...chord(0, 60, 64, 67)))), /format 2/],
  ];
  for (const [path, said] of cases) {
    const { code, out, err } = await runCommand('analyse', path);
    expect([code, out], path).toEqual([1, '']);
    expect(err).toMatch(said);
    expect(err.trimEnd().split('\n')).toHaveLength(1);
  }
});

test('words that are wrong are misuse', async () => {
  const path = write('a.mid', fourths);
  for (const words of [
    [],
    [path, '--key', 'X'],
    [path, '--from-bar', 'soon'],
    [path, '--from-bar', '0'],
    [path, '--track', '0'],
    [path, '--channel', '17'],
  ]) {
    const { code, out, err } = await runCommand('analyse', ...words);
    expect([code, out], words.join(' ')).toEqual([2, '']);
    expect(err.trimEnd().split('\n')).toHaveLength(1);
  }
  const { code, err } = await runCommand('analyse', path, '--from-bar', '9');
  expect([code, err]).toEqual([1, expect.stringContaining('its last chord is before bar 9')]);
});

test('a preset is written, found by its name, and refused where the name is taken', async () => {
  const path = write('a.mid', fourths);
  const made = await runCommand('analyse', path, '--preset', 'Thirds below');
  expect(made.code).toBe(0);
  expect(made.out).toContain('Learned: fourths over the third, 3 voices');
  expect(made.out).toContain('it voices 3 of 3 chords note for note.');
  expect(made.err).toContain('play --preset thirds-below');
  const shown = await runCommand('presets', 'show', 'thirds-below');
  expect(JSON.parse(shown.out)).toMatchObject({ strategy: 'fourths', voices: 3 });
  // The name of one that is there is no name for the new one, and writes nothing.
  const other = await runCommand('analyse', path, '--preset', 'drop-2-sevenths');
  expect([other.code, other.err]).toEqual([
    1,
    expect.stringContaining("'drop-2-sevenths' is there already; give a new name"),
  ]);
  const again = await runCommand('analyse', path, '--preset', 'Thirds below');
  expect([again.code, again.out]).toEqual([1, '']);
  expect(again.err).toContain('choose another name');
  const json = await runCommand('analyse', path, '--hold-out', '--json');
  expect(JSON.parse(json.out).learned).toMatchObject({ preset: null, heldOut: { chords: 1 } });
});

test('the changes that are given are those the notes are read by', async () => {
  const path = write('a.mid', fourths);
  const { code, out } = await runCommand('analyse', path, '--chart', '| Gm7 Am7 | Gm7 |', '--json');
  expect(code).toBe(0);
  const { chords } = JSON.parse(out);
  expect(chords.map(({ symbol }: { symbol: string }) => symbol)).toEqual(['Gm7', 'Am7', 'Gm7']);
  expect(chords[0].notes.map(({ degree }: { degree: string }) => degree)).toEqual([
    ...['5', '11', 'b7', 'b3'],
  ]);
  const said = async (chart: string) => {
    const answer = await runCommand('analyse', path, '--chart', chart, '--json');
    expect(answer.code).toBe(0);
    return [JSON.parse(answer.out).changes, answer.err.trimEnd()] as const;
  };
  const [all, nothing] = await said('| Gm7 Am7 | Gm7 |');
  expect([all, nothing]).toEqual([{ chords: 3, fitting: 3, after: 0, remark: '' }, '']);
  const [some, others] = await said('| Gm7 E |');
  expect(some).toMatchObject({ chords: 3, fitting: 1, after: 1 });
  expect(others).toBe(
    "handspan: '--chart': the changes given fit 1 of 2 chords played, and 1 more is after their end: the others are read by ear.",
  );
  const [none, ear] = await said('| E | Db7 |');
  expect(none).toMatchObject({ chords: 3, fitting: 0, after: 0 });
  expect(ear).toContain('fit none of 3 chords played: all are read by ear, without them.');
  const wrong = await runCommand('analyse', path, '--chart', '| Gm7 Qx |');
  expect([wrong.code, wrong.out]).toEqual([1, '']);
  expect(wrong.err.trimEnd().split('\n')).toHaveLength(1);
});

test('a take is read by the changes of the tune it was played over, and that is said', async () => {
  const rows: readonly (readonly [string, string, readonly string[]])[] = [
    ['Am7', 'Fmaj7', ['A2', 'E4', 'G4', 'C5']],
    ['Dm7', 'Bbmaj7', ['D3', 'F4', 'A4', 'C5']],
    ['Em7', 'Cmaj7', ['E3', 'G4', 'B4', 'D5']],
    // Other chords than what is written.
    ['E', 'Fmaj7', ['E3', 'G#4', 'B4', 'E5']],
  ];
  const lines = rows.flatMap(([heard, written, names], place) => {
    const at = place * 1_000_000;
    const report = reportOf(at, heard, names);
    const notes = report.sent.voices.map(({ note: midi }) => midi);
    const events = [0x90, 0x80].flatMap((status, end) =>
      notes.map((midi) =>
        formatEvent({
          ...{ atMicroseconds: at + end * 900_000, direction: 'sounded' },
          bytes: [status, midi, 80],
        }),
      ),
    );
    const spot = { bar: place + 1, beat: 1, chorus: 1 };
    return [...events, formatChordLine({ ...report, place: spot, written })];
  });
  const chart = 'title: Low Tide\n| Fmaj7 | Bbmaj7 | Cmaj7 | Fmaj7 |\n';
  const started = '2031-05-04T19:30:00.000Z';
  const head = formatHead({ started, preset: 'fourths-over-root', key: '', chart });
  const path = join(folder, 'over.take');
  writeFileSync(path, `${head}${lines.join('')}${endLine}`);
  const symbols = async (...options: string[]) => {
    const { code, out, err } = await runCommand('analyse', path, '--json', ...options);
    expect(code).toBe(0);
    const { chords, remarks } = JSON.parse(out);
    // What is said is in the answer, too.
    expect(err).toBe(remarks.map((line: string) => `handspan: ${line}\n`).join(''));
    return { symbols: chords.map(({ symbol }: { symbol: string }) => symbol), err };
  };
  const read = await symbols();
  expect(read.symbols).toEqual(['Fmaj7', 'Bbmaj7', 'Cmaj7', 'E']);
  expect(read.err).toContain(
    "was played over the tune 'Low Tide': 3 of its 4 chords are read by the changes, the others by ear.",
  );
  const other = await symbols('--chart', '| Am7 Dm7 | Em7 E |');
  expect(other.symbols).toEqual(['Am7', 'Dm7', 'Em7', 'E']);
  expect(other.err).not.toContain('Low Tide');
  expect((await symbols('--ignore-symbols')).err).not.toContain('Low Tide');
});

test('notes struck again under another symbol are another chord', async () => {
  const folded = join(folder, 'folded.mid');
  const struck = (tick: number) => chord(tick, 44, 55, 60, 65);
  const marks = ['Abmaj7', 'Abmaj7', 'Fm9/Ab'].map((text, place) => ({
    ...{ tick: place * 960, bytes: meta('marker', [...new TextEncoder().encode(text)]) },
  }));
  const notes = [0, 960, 1920].flatMap((tick) =>
    struck(tick).map(([at, ...bytes]) => ({ tick: at, bytes })),
  );
  writeFileSync(folded, writeStandardMidiFile([marks, notes], 480));
  const { out } = await runCommand('analyse', folded, '--json');
  const found = JSON.parse(out).chords.map(
    ({ bar, beat, symbol, times }: Record<string, unknown>) => [bar, beat, symbol, times],
  );
  expect(found).toEqual([
    [1, 1, 'Abmaj7', 2],
    [2, 1, 'Fm9/Ab', 1],
  ]);
});

test('two passages are laid side by side', async () => {
  const one = write('a.mid', fourths);
  const close = file(0, 480, track(...chord(0, 36, 60, 64, 67), ...chord(960, 41, 60, 65, 69)));
  const other = write('b.mid', close);
  const { code, out } = await runCommand('analyse', one, other);
  expect(code).toBe(0);
  expect(out).toContain('3 voices in 2');
  expect(out).toContain('Both chords are close position.');
  expect(out).toMatch(/^techniques +A: fourths 3\n +B: close position 2$/mu);
  const json = await runCommand('analyse', one, other, '--json');
  expect(JSON.parse(json.out).passages.map(({ file: name }: { file: string }) => name)).toEqual([
    ...[one, other],
  ]);
  const both = await runCommand('analyse', one, other, '--preset', 'Both');
  expect(both.code).toBe(2);
});

test('a score is read as what it was written from, and a score is written', async () => {
  const [score, midi] = [join(folder, 'a.musicxml'), join(folder, 'a.mid')];
  const chart = '| Dm7 | G7 | Cmaj7 A7 | Dm7 |';
  const how = ['--preset', 'drop-2-sevenths', '--key', 'C', '--midi', midi, '--musicxml', score];
  expect((await runCommand('chart', chart, ...how)).code).toBe(0);
  const chordsOf = async (path: string) => {
    const { out } = await runCommand('analyse', path, '--json');
    return JSON.parse(out).chords.map(
      ({ bar, beat, symbol, notes, technique }: Record<string, unknown>) => ({
        ...{ bar, beat, symbol, notes, technique },
      }),
    );
  };
  const fromMidi = await chordsOf(midi);
  expect(fromMidi).toHaveLength(5);
  expect(await chordsOf(score)).toEqual(fromMidi);
  const page = join(folder, 'page.txt');
  expect((await runCommand('analyse', score, '--hand-out', page)).code).toBe(0);
  expect(readFileSync(page, 'utf8')).toContain('drop 2 over the root');
});

test('a chart is refused with the command that reads it; repeats of a score are played, and that is said', async () => {
  const chart = join(folder, 'lane.txt');
  writeFileSync(chart, 'key: Eb\n|: Ebmaj7 | Cm7 F7 :| Fm7 | Bb7 |\n');
  for (const name of [chart, '| Dm7 | G7 |']) {
    const { code, err } = await runCommand('analyse', name);
    expect(code).toBe(1);
    expect(err).toMatch(/is a chart, with no notes to analyse: '.*chart .*' voices it/u);
  }
  const score = join(folder, 'lane.musicxml');
  await runCommand('chart', chart, '--preset', 'fourths-over-third', '--musicxml', score);
  const { out, err } = await runCommand('analyse', score);
  expect(err).toContain('they are played');
  expect(out).toContain('8 chords in 6 bars');
  // No more than was measured.
  expect(out).toContain('All 8 chords are fourths, 5 of them with a third among them.');
});
