/** `chart --compare`: what it says, writes and refuses. */
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { runCommand } from './run-command.ts';

let folder = '';
const at = (name: string) => join(folder, name);
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'chart-compare-'));
  process.env['HANDSPAN_HOME'] = at('home');
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const tune = 'title: Two Lamps\nkey: C\n| Dm7 | G7 | Cmaj7 | % |';

test('the JSON holds each treatment as the chart alone has it', async () => {
  const { code, out } = await runCommand('chart', tune, '--compare', 'drop-2,Shells', '--json');
  expect(code).toBe(0);
  const { treatments } = JSON.parse(out);
  const alone = await Promise.all(
    [
      ['--strategy', 'drop-2'],
      ['--preset', 'shells'],
    ].map(async (words) => {
      const { preset, strategy, chords } = JSON.parse(
        (await runCommand('chart', tune, ...words, '--json')).out,
      );
      return { preset, strategy, chords };
    }),
  );
  expect(treatments).toEqual(alone);
});

test.each<readonly [string, readonly string[], string]>([
  [
    'a name unknown',
    ['--compare', 'drop-2,fourts'],
    "no strategy or preset 'fourts' (nearest: 'fourths')",
  ],
  ['one alone', ['--compare', 'drop-2'], 'give two to eight strategies or presets'],
  ['an empty name', ['--compare', 'drop-2,'], 'give two to eight strategies or presets'],
  [
    'nine',
    ['--compare', 'close,open,drop-2,drop-3,shell,rootless,spread,fourths,hybrid'],
    'two to eight',
  ],
  ['one twice', ['--compare', 'drop-2,hybrid,drop-2'], "'drop-2' stands there twice"],
  [
    'a strategy beside',
    ['--compare', 'drop-2,hybrid', '--strategy', 'open'],
    "'--strategy' and '--compare'",
  ],
  [
    'voices that one cannot have',
    ['--compare', 'drop-2,hybrid', '--voices', '3'],
    "'drop-2': '--voices'",
  ],
  [
    'a reach unknown',
    ['--compare', 'drop-2,hybrid', '--reach', 'foot'],
    "'--reach foot': there are",
  ],
  ['a reach for nothing', ['--reach', 'tenth'], 'nothing is compared'],
])('%s is refused in a sentence', async (_, words, problem) => {
  const { code, out, err } = await runCommand('chart', tune, ...words);
  expect([code, out]).toEqual([2, '']);
  expect(err).toContain(problem);
});

test('the MIDI file has one treatment after the other, a bar between them', async () => {
  const words = ['--compare', 'drop-2,fourths,hybrid', '--midi', at('a.mid')];
  expect((await runCommand('chart', tune, ...words)).code).toBe(0);
  const { tracks, header } = parseMidi(readFileSync(at('a.mid')));
  const timed = (track: (typeof tracks)[number] | undefined) => {
    let tick = 0;
    return (track ?? []).map((event) => {
      tick += event.deltaTime;
      return { ...event, beat: tick / (header.ticksPerBeat ?? 1) };
    });
  };
  const markers = timed(tracks[0]).filter(({ type }) => type === 'marker');
  const named = markers.map((event) => ('text' in event ? `${event.beat} ${event.text}` : ''));
  expect(named).toContain('0 [drop-2]');
  expect(named).toContain('20 [fourths]');
  expect(named).toContain('40 [hybrid]');
  expect(named.filter((name) => name.endsWith('Dm7'))).toEqual(['0 Dm7', '20 Dm7', '40 Dm7']);
  const upper = timed(tracks[1]).filter(({ type }) => type === 'noteOn' || type === 'noteOff');
  const { treatments } = JSON.parse(
    (await runCommand('chart', tune, '--compare', 'drop-2,fourths,hybrid', '--json')).out,
  );
  const starts = (from: number) =>
    upper.flatMap((event) =>
      event.type === 'noteOn' && event.beat === from ? [event.noteNumber] : [],
    );
  for (const [place, from] of [0, 20, 40].entries()) {
    const notes = treatments[place].chords[0].notes as { midi: number; part: string }[];
    expect(starts(from)).toEqual(
      notes.filter(({ part }) => part === 'upper').map(({ midi }) => midi),
    );
  }
  expect(upper.filter(({ beat }) => beat > 16 && beat < 20)).toEqual([]);
});

test('the score has a system for each, the symbols once, the lines broken alike', async () => {
  const long = 'key: C\n| Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | C6 | % |';
  const words = ['--compare', 'drop-2,fourths-over-root', '--musicxml', at('a.musicxml')];
  expect((await runCommand('chart', long, ...words)).code).toBe(0);
  const xml = readFileSync(at('a.musicxml'), 'utf8');
  expect([...xml.matchAll(/<part-name>([^<]*)/g)].map(([, name]) => name)).toEqual([
    '1 drop-2',
    '2 fourths-over-root',
  ]);
  const [, first = '', second = ''] = xml.split('<part id=');
  expect([first, second].map((part) => part.match(/<measure /g)?.length)).toEqual([8, 8]);
  expect([first, second].map((part) => part.match(/<harmony/g)?.length ?? 0)).toEqual([8, 0]);
  expect([first, second].map((part) => part.match(/<metronome/g)?.length ?? 0)).toEqual([1, 0]);
  expect(first).toContain('new-system');
});

test('--explain says two sentences a chord, with rules and techniques once at the end', async () => {
  const { out } = await runCommand('chart', tune, '--strategy', 'drop-2', '--explain');
  expect(out.match(/^ {7}Drop 2: of the close position/gm)).toHaveLength(4);
  expect(out.match(/^Techniques$/gm)).toHaveLength(1);
  expect(out).toMatch(/^1\. Third and seventh say the chord: R\. Hutchinson/m);
  const json = JSON.parse(
    (await runCommand('chart', tune, '--compare', 'drop-2,hybrid', '--explain', '--json')).out,
  );
  expect(json.techniques.map(({ id }: { id: string }) => id)).toEqual(['drop-2', 'hybrid']);
  for (const { chords } of json.treatments) {
    for (const { explanation } of chords) {
      expect(Object.keys(explanation)).toEqual(['built', 'why', 'rules']);
    }
  }
  const both = (await runCommand('chart', tune, '--compare', 'drop-2,hybrid', '--explain')).out;
  expect(both.match(/^Rules in brackets/gm)).toHaveLength(1);
});

test('without a browser a PDF is refused, with what to do instead, before anything is written', async () => {
  vi.stubEnv('HANDSPAN_BROWSER', at('none'));
  const { code, out, err } = await runCommand('chart', tune, '--pdf', at('a.pdf'));
  vi.unstubAllEnvs();
  expect([code, out]).toEqual([1, '']);
  expect(err).toContain(
    "no browser is found that prints by itself, such as Chromium; write '--hand-out FILE.html', open it in a browser and print it",
  );
  expect(existsSync(at('a.pdf'))).toBe(false);
});

test('a hand-out as text has treatments, sentences, blanks and solutions', async () => {
  const words = ['--compare', 'drop-2,hybrid', '--explain', '--hand-out', at('a.txt')];
  expect((await runCommand('chart', tune, ...words)).code).toBe(0);
  const text = readFileSync(at('a.txt'), 'utf8');
  expect(text).toMatch(/^1 drop-2$.*^2 hybrid$.*^Techniques$.*^1\. Third and seventh/ms);
  await runCommand('chart', tune, ...words, '--blanks', 'names', '--force');
  const [exercise = '', solutions = ''] = readFileSync(at('a.txt'), 'utf8').split('\f');
  expect(exercise).not.toMatch(/Dm7|Cmaj7|of the close position/);
  expect(solutions).toMatch(/Dm7.*of the close position/s);
  const wrong = await runCommand('chart', tune, ...words, '--blanks', 'nots', '--force');
  expect([
    wrong.code,
    wrong.err.includes("'--blanks nots': there are notes, names, techniques"),
  ]).toEqual([2, true]);
});

test('several files are one hand-out, and what is made of one chart is refused', async () => {
  writeFileSync(at('one.txt'), 'title: One\nkey: C\n| Dm7 | G7 |');
  writeFileSync(at('two.txt'), 'title: Two\nkey: F\n| Gm7 | C7 | F6 |');
  const files = ['chart', at('one.txt'), at('two.txt')];
  const { code, out, err } = await runCommand(...files, '--json', '--hand-out', at('both.txt'));
  expect(code).toBe(0);
  expect(JSON.parse(out).charts.map(({ chords }: { chords: object[] }) => chords.length)).toEqual([
    2, 3,
  ]);
  expect(err).toContain('2 charts, 5 bars, 5 chords');
  expect(readFileSync(at('both.txt'), 'utf8')).toMatch(/^One\n.*\n\nTwo\n.*^3\.1 {2}F6/ms);
  const refused = await runCommand(...files, '--midi', at('a.mid'));
  expect([refused.code, refused.out]).toEqual([2, '']);
  expect(refused.err).toContain("'--midi' is for one chart; several make a hand-out.");
  const absent = await runCommand(...files, at('three.txt'));
  expect([absent.code, absent.err.includes('three.txt cannot be read')]).toEqual([1, true]);
});
