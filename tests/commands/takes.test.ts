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
import { type MidiEvent, parseMidi } from 'midi-file';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { takeName } from '../../src/io/takes/take-store.ts';
import {
  endLine,
  formatChartLine,
  formatChordLine,
  formatEvent,
  formatHead,
  type JournalHead,
} from '../../src/take/journal.ts';
import { isShortRound } from '../helpers/round.ts';
import { noteOf } from '../score/progressions.ts';
import { reportOf } from '../take/reports.ts';
import { runCommand } from './run-command.ts';

let home = '';
let folder = '';
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), 'takes-'));
  process.env['HANDSPAN_HOME'] = home;
  folder = join(home, 'takes');
});
afterEach(() => rmSync(home, { recursive: true, force: true }));

const chords = [
  ['Eb6/9', 'Eb2', 'G3', 'C4', 'F4'],
  ['Cm7(add11)', 'C2', 'F3', 'Bb3', 'Eb4'],
  ['F13', 'F2', 'Eb3', 'A3', 'D4'],
  ['Bb13', 'Bb1', 'Ab3', 'D4', 'G4'],
] as const;

/** A take of four chords, one a second, half of each played a program change before. */
function write(name: string, end = endLine, more: Partial<JournalHead> = {}): void {
  const head = {
    started: '2031-05-04T19:30:00.000Z',
    preset: 'fourths-over-root',
    key: 'Eb major',
    ...more,
  };
  const lines = chords.flatMap(([symbol, ...names], place) => {
    const at = place * 1_000_000;
    const event = (time: number, ...bytes: number[]) =>
      formatEvent({ atMicroseconds: time, direction: 'sounded', bytes });
    return [
      ...(place === 0 ? [event(at, 0xc0, 5)] : []),
      ...names.map((note) => event(at, 0x90, noteOf(note), 80)),
      formatChordLine(reportOf(at, symbol, names)),
      ...names.map((note) => event(at + 990_000, 0x80, noteOf(note), 64)),
    ];
  });
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, `${name}.take`), formatHead(head) + lines.join('') + end);
}

describe('list', () => {
  test('without any, says where they would be', async () => {
    const { code, out } = await runCommand('takes');
    expect([code, out]).toEqual([0, `No takes yet; they would be in ${folder}\n`]);
  });

  test('says how long each is, and which ended suddenly', async () => {
    write('2031-05-04 193000');
    write('2031-05-04 201500', '');
    writeFileSync(join(folder, 'other.take'), 'hello');
    const { code, out, err } = await runCommand('takes');
    expect(code).toBe(0);
    expect(out.split('\n')).toEqual([
      '2031-05-04 193000    0:04   4 chords  fourths-over-root, Eb major',
      '2031-05-04 201500    0:04   4 chords  fourths-over-root, Eb major  (ended suddenly)',
      '',
    ]);
    expect(err).toContain('other.take cannot be read: it is no take');
  });

  test('as JSON', async () => {
    write('one');
    const { out } = await runCommand('takes', '--json');
    expect(JSON.parse(out).takes).toMatchObject([
      { name: 'one', seconds: 3.99, chords: 4, isComplete: true, key: 'Eb major' },
    ]);
  });
});

test('show prints the chords with their times', async () => {
  write('one');
  const { out } = await runCommand('takes', 'show', 'one');
  expect(out.split('\n')[1]).toBe(
    '  0:01  Cm7(add11)  C2 F3 Bb3 Eb4  three-part fourths over the root',
  );
});

test('keep points to a session that runs, which holds its last minutes itself', async () => {
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, `.session-${process.ppid}-a.take`), '');
  const { code, err } = await runCommand('takes', 'keep');
  expect(code).toBe(1);
  expect(err).toBe(
    "handspan: a session is running and still holds its last minutes; press w on its screen, or send it the line 'keep'.\n",
  );
});

test('keep makes a take of the last minutes, once', async () => {
  write('last minutes');
  const { code, out } = await runCommand('takes', 'keep');
  expect(code).toBe(0);
  expect(readdirSync(folder)).toEqual([`${out.trim()}.take`]);
  // By when it was played.
  expect(out.trim()).toBe(takeName(new Date('2031-05-04T19:30:00.000Z')));
  const again = await runCommand('takes', 'keep');
  expect(again.code).toBe(1);
  expect(again.err).toContain('there are no last minutes to keep');
});

test('remove asks first, and where nobody can answer wants --yes', async () => {
  write('one');
  const refused = await runCommand('takes', 'remove', 'one');
  expect([refused.code, refused.err]).toEqual([
    2,
    "handspan: 'takes remove' asks first, and nobody can answer here; add --yes. Try 'handspan takes --help'.\n",
  ]);
  expect(existsSync(join(folder, 'one.take'))).toBe(true);
  expect((await runCommand('takes', 'remove', 'one', '--yes')).code).toBe(0);
  expect(readdirSync(folder)).toEqual([]);
});

describe('export', () => {
  const names = (events: readonly MidiEvent[] | undefined, type: string) =>
    (events ?? []).flatMap((event) => (event.type === type && 'text' in event ? [event.text] : []));

  test('as a MIDI file with a track for each voice, tempo and metre as asked', async () => {
    write('one');
    const path = join(home, 'one.mid');
    const { code, err } = await runCommand(
      ...[
        'takes',
        'export',
        'one',
        '--midi',
        path,
        '--per-voice',
        '--tempo',
        '60',
        '--metre',
        '3/4',
      ],
    );
    expect([code, err]).toEqual([0, `handspan: the take is in ${path}: 4 chords\n`]);
    const { tracks } = parseMidi(readFileSync(path));
    expect(tracks.flatMap((events) => names(events, 'trackName'))).toEqual([
      ...['As played', 'Voice 1', 'Voice 2', 'Voice 3', 'Voice 4', 'Beside the chords', 'Chords'],
    ]);
    expect(tracks[0]).toMatchObject([
      { type: 'setTempo', microsecondsPerBeat: 1_000_000 },
      { type: 'timeSignature', numerator: 3, denominator: 4 },
      { type: 'keySignature', key: -3, scale: 0 },
      { type: 'marker', text: 'Eb6/9' },
      { type: 'marker' },
      { type: 'marker' },
      { type: 'marker' },
      { type: 'endOfTrack' },
    ]);
    const basses = tracks[2]?.flatMap((event) =>
      event.type === 'noteOn' ? [event.noteNumber] : [],
    );
    expect(basses).toEqual(chords.map(([, bass]) => noteOf(bass)));
    expect(tracks[6]?.some((event) => event.type === 'programChange')).toBe(true);
    expect(names(tracks[7], 'text').slice(0, 2)).toEqual([
      'Eb6/9',
      'three-part fourths over the root',
    ]);
  });

  test('in the metre it was played in, unless another is asked for', async () => {
    write('one', endLine, { metre: '3/4' });
    const path = join(home, 'one.musicxml');
    const metres: (string | undefined)[] = [];
    for (const asked of [[], ['--metre', '6/8']]) {
      const options = ['--musicxml', path, '--force', ...asked];
      expect((await runCommand('takes', 'export', 'one', ...options)).code).toBe(0);
      metres.push(/<beats>(\d+)<\/beats>\s*<beat-type>\d+/.exec(readFileSync(path, 'utf8'))?.[1]);
    }
    expect(metres).toEqual(['3', '6']);
    const { out } = await runCommand('takes');
    expect(out).toContain('fourths-over-root, Eb major, 3/4');
  });

  test.skipIf(isShortRound)(
    'as a score and a hand-out, with the grid that was chosen',
    async () => {
      write('one');
      const [xml, page, svg] = ['one.musicxml', 'one.html', 'one.svg'].map((name) =>
        join(home, name),
      );
      const { code, err } = await runCommand(
        ...['takes', 'export', 'one', '--musicxml', xml ?? '', '--hand-out', page ?? ''],
        ...['--svg', svg ?? '', '--tempo', '120', '--key', 'Eb'],
      );
      expect(code).toBe(0);
      expect(err.replaceAll(home, 'HOME').split('\n')).toEqual([
        'handspan: written in eighth notes at 120 a minute',
        'handspan: the score is in HOME/one.musicxml: 2 bars, 4 chords',
        'handspan: the picture is in HOME/one.svg: 2 bars, 4 chords',
        'handspan: the hand-out is in HOME/one.html: 2 bars, 4 chords',
        '',
      ]);
      expect(readFileSync(xml ?? '', 'utf8').match(/<harmony>/g)).toHaveLength(4);
      expect(readFileSync(page ?? '', 'utf8').match(/<figure/g)).toHaveLength(1);
      expect(readFileSync(svg ?? '', 'utf8')).toContain('<svg');
      const again = await runCommand('takes', 'export', 'one', '--svg', svg ?? '');
      expect([again.code, again.err]).toEqual([
        1,
        `handspan: The picture would overwrite ${svg}: choose another name, or add --force.\n`,
      ]);
    },
    30_000,
  );

  test.each<readonly [string[], string]>([
    [[], "'takes export' needs a file"],
    [['--midi', 'x.mid', '--tempo', '5'], '10 to 1000'],
    [['--midi', 'x.mid', '--metre', '4/5'], 'such as 3/4'],
    [['--svg', 'x.svg', '--grid', 'thirds'], 'eighths, triplets, sixteenths'],
  ])('%j is misused', async (options, sentence) => {
    write('one');
    const { code, err } = await runCommand('takes', 'export', 'one', ...options);
    expect(code).toBe(2);
    expect(err).toContain(sentence);
  });
});

test.each<readonly [string[], number, string]>([
  [['play'], 2, "'takes' cannot 'play'"],
  [['list', 'x'], 2, "'x' is one word too many for 'takes list'"],
  [['show'], 2, "'takes show' needs a name"],
  [['show', 'onr'], 1, "there is no take 'onr' (nearest: 'one')"],
])('%j', async (words, expected, sentence) => {
  write('one');
  const { code, err } = await runCommand('takes', ...words);
  expect(code).toBe(expected);
  expect(err).toContain(sentence);
});

describe('a take over a tune', () => {
  const chart = 'title: Two Lamps\nkey: Eb\n\n|: Eb6 | Cm7 | [1. F7 :| [2. Bb7 ||\n| Abmaj7 |]\n';

  /** The four chords in the second time through and the second ending; Abmaj7 is not played. */
  function overTune(more: Partial<JournalHead> = { chart }): void {
    const places = [
      { bar: 1, written: 'Eb6' },
      { bar: 2, written: 'Cm7' },
      { bar: 3, written: 'F7' },
      { bar: 6, written: 'Bb7' },
    ];
    const head = { started: '2031-05-04T19:30:00.000Z', preset: 'x', key: 'Eb major', ...more };
    const lines = chords.map(([symbol, ...names], index) => {
      const { bar = 0, written = '' } = places[index] ?? {};
      const report = reportOf(index * 1_000_000, symbol, names);
      return formatChordLine({ ...report, place: { bar, beat: 1, chorus: 1 }, written });
    });
    // A chord of another tune at a bar of this one.
    const stray = reportOf(9_000_000, 'Db7', ['Db2', 'F3', 'B3', 'Ab4']);
    lines.push(formatChordLine({ ...stray, place: { bar: 2, beat: 1, chorus: 1 }, written: 'D7' }));
    mkdirSync(folder, { recursive: true });
    writeFileSync(join(folder, 'one.take'), formatHead(head) + lines.join('') + endLine);
  }

  test('goes out as its chart, form and all, and as a score in its bars', async () => {
    overTune();
    const [text, page] = ['one.txt', 'page.txt'].map((name) => join(home, name));
    const { code, err } = await runCommand(
      ...['takes', 'export', 'one', '--chart', text ?? '', '--hand-out', page ?? ''],
    );
    expect([code, err]).toEqual([0, expect.stringContaining('the chart is in')]);
    expect(readFileSync(text ?? '', 'utf8')).toBe(
      'title: Two Lamps\nkey: Eb\n\n|: Eb6/9 | Cm7(add11) | [1. F13 :| [2. Bb13 ||\n| Abmaj7 |]\n',
    );
    const rows = readFileSync(page ?? '', 'utf8').split('\n');
    expect(rows[0]).toBe('Two Lamps');
    const found = rows.flatMap(
      (row) => row.match(/^\d+\.1 +\S+(?: +\S+\d (?:b?\d+|#\d+))*/u) ?? [],
    );
    expect(found.map((row) => row.replace(/ +/gu, ' '))).toEqual([
      '1.1 Eb6/9 Eb2 1 G3 3 C4 6 F4 9',
      '2.1 Cm7(add11) C2 1 F3 11 Bb3 b7 Eb4 b3',
      '3.1 F13 F2 1 Eb3 b7 A3 3 D4 13',
      '4.1 Bb13 Bb1 1 Ab3 b7 D4 3 G4 13',
      '5.1 Abmaj7',
    ]);
    expect(rows.join(' ')).not.toContain('chosen:');
  });

  test('says what a repeat lost: a voicing that was chosen, not one that was led otherwise', async () => {
    const head = { started: '2031-05-04T19:30:00.000Z', preset: 'x', key: 'Eb major', chart };
    const place = (bar: number) => ({ place: { bar, beat: 1, chorus: 1 }, written: 'Eb6' });
    const first = reportOf(0, 'Eb6/9', ['Eb2', 'G3', 'C4', 'F4']);
    const again = reportOf(4_000_000, 'Eb6/9', ['Eb2', 'C4', 'F4', 'G4']);
    const turned = { choice: { by: 'voicing', index: 2, of: 5 } as const };
    mkdirSync(folder, { recursive: true });
    const told: boolean[] = [];
    for (const more of [{}, turned]) {
      const lines = [
        { ...first, ...place(1), ...more },
        { ...again, ...place(4) },
      ];
      const text = formatHead(head) + lines.map(formatChordLine).join('') + endLine;
      writeFileSync(join(folder, 'one.take'), text);
      for (const form of ['--chart', '--hand-out']) {
        const page = join(home, `${told.length}.txt`);
        const { err } = await runCommand('takes', 'export', 'one', form, page);
        told.push(err.includes('Bar 1 was played otherwise before'));
      }
    }
    expect(told).toEqual([false, false, true, true]);
  });

  test('over several tunes gives each in its own bars, and says which one is written', async () => {
    const other = 'title: Tin Kettle\n\n| Gm7 | C7 |\n';
    const head = { started: '2031-05-04T19:30:00.000Z', preset: 'x', key: '', chart };
    const at = (time: number, symbol: string, written: string, bar: number) =>
      formatChordLine({
        ...reportOf(time * 1e6, symbol, ['G2', 'F3', 'Bb3', 'D4']),
        ...{ place: { bar, beat: 1, chorus: 1 }, written },
      });
    const lines = [
      ...[at(0, 'Eb6/9', 'Eb6', 1), formatChartLine(other), at(1, 'Gm9', 'Gm7', 1)],
      ...[at(2, 'C13', 'C7', 2), formatChartLine(chart), at(3, 'Cm9', 'Cm7', 2)],
      formatChartLine(''),
    ];
    mkdirSync(folder, { recursive: true });
    writeFileSync(join(folder, 'one.take'), formatHead(head) + lines.join('') + endLine);
    const exported = async (...more: readonly string[]) => {
      const file = join(home, `${more.join('')}.txt`);
      const { err, code } = await runCommand('takes', 'export', 'one', '--chart', file, ...more);
      return { err, code, text: code === 0 ? readFileSync(file, 'utf8') : '' };
    };
    const first = await exported();
    expect(first.text).toContain('|: Eb6/9 | Cm9 | [1. F7 :|');
    expect(first.err).toContain("played over 2 tunes: 1 'Two Lamps', 2 'Tin Kettle'");
    for (const which of ['2', 'tin kettle']) {
      const { text, err } = await exported('--tune', which);
      expect(text).toContain('| Gm9 | C13 |');
      expect(err).not.toContain('tunes');
    }
    const none = await exported('--tune', '3');
    expect([none.code, none.err]).toEqual([2, expect.stringContaining("1 'Two Lamps', 2 'Tin")]);
    const shown = (await runCommand('takes', 'show', 'one')).out;
    expect(shown.match(/over the tune '[^']+'/gu)).toEqual([
      ...["over the tune 'Two Lamps'", "over the tune 'Tin Kettle'", "over the tune 'Two Lamps'"],
    ]);
  });

  test('with a grid is in its own time, and without a tune a chord a bar', async () => {
    overTune();
    const page = join(home, 'page.txt');
    await runCommand('takes', 'export', 'one', '--hand-out', page, '--grid', 'eighths');
    expect(readFileSync(page, 'utf8')).not.toContain('Two Lamps');
    overTune({});
    const text = join(home, 'plain.txt');
    expect((await runCommand('takes', 'export', 'one', '--chart', text)).code).toBe(0);
    expect(readFileSync(text, 'utf8')).toContain('| Eb6/9 | Cm7(add11) | F13 | Bb13 |\n| Db7 |');
  });
});
