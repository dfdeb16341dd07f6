/** What a chart chooses for one chord (our own syntax: no outside reference), obeyed and refused. */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readMusicXml } from '../../src/chart/musicxml/read-musicxml.ts';
import { parseChart } from '../../src/chart/parse.ts';
import { chartReport } from '../../src/chart/report.ts';
import { voiceChart } from '../../src/chart/voice.ts';
import { writeChart } from '../../src/chart/write.ts';
import { progressionOfChart } from '../../src/commands/chart/chart-progression.ts';
import { fromFileForm } from '../../src/presets/file-form.ts';
import { toHandOutText } from '../../src/score/hand-out/text.ts';
import { toMusicXml } from '../../src/score/musicxml.ts';
import { chartText } from '../../src/session/chart-of-chords.ts';
import { strategyIds } from '../../src/voicing/voicing.ts';
import { reportOf } from '../take/reports.ts';

const folder = new URL('../../presets/', import.meta.url);
const presets = readdirSync(folder).map((name) =>
  fromFileForm(JSON.parse(readFileSync(new URL(name, folder), 'utf8')), name.replace('.json', '')),
);

function named(id: string) {
  const value = presets.find((each) => each.id === id);
  return value === undefined
    ? { ok: false as const, problem: `there is no preset '${id}'.` }
    : { ok: true as const, value };
}

function voice(text: string, id = 'drop-2-sevenths') {
  const parsed = parseChart(text);
  if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
  const preset = named(id);
  if (!preset.ok) throw new Error(preset.problem);
  const { key } = parsed.value;
  return voiceChart(parsed.value, { preset: preset.value, key, registers: {}, presetNamed: named });
}

const notesOf = (text: string, id?: string) =>
  chartReport(voice(text, id)).chords.map(({ notes }) => notes.map(({ midi }) => midi));

function faultsOf(text: string): readonly string[] {
  const parsed = parseChart(text);
  const problems = parsed.ok ? voice(text).problems : parsed.problems;
  return problems.map(({ line, column, message }) => `${line}:${column} ${message}`);
}

describe('what is chosen for one chord', () => {
  test('is what sounds: bass, technique, notes, a lead, a preset from there on', () => {
    const text =
      '| Dm7 | bass=third G7 | technique=shell Cmaj7 | voicing=A1,G3,C4,E4,B4 Am7 | Fmaj7@E4 | preset=rootless-hand Dm7 | G7 |';
    const { chords } = chartReport(voice(text));
    expect(chords[1]?.notes[0]).toMatchObject({ degree: '3', part: 'bass' });
    expect(chords[3]?.givenUp).toEqual([]);
    expect(chords[2]).toMatchObject({ technique: 'shell', chosen: 'technique=shell' });
    expect(chords[3]?.notes.map(({ name }) => name)).toEqual(['A1', 'G3', 'C4', 'E4', 'B4']);
    expect(chords[4]?.notes.at(-1)?.name).toBe('E4');
    expect(chords.slice(5).map(({ technique }) => technique)).toEqual(['rootless', 'rootless']);
  });

  test('the second best is another one than the best, and every number up to the last is its own', () => {
    const [, plain] = notesOf('| Dm7 | G7 | Cmaj7 |');
    const [, first] = notesOf('| Dm7 | voicing=1 G7 | Cmaj7 |');
    expect(first).toEqual(plain);
    const texts = Array.from(
      { length: 40 },
      (_, place) => `| Dm7 | voicing=${place + 1} G7 | Cmaj7 |`,
    );
    const there = texts.filter((text) => voice(text).problems.length === 0);
    expect(there.length).toBeGreaterThan(2);
    expect(new Set(there.map((text) => notesOf(text)[1]?.join())).size).toBe(there.length);
  });

  test('costs least of all that have it: the path leads around what is fixed', () => {
    const best = voice('| Dm7 | technique=close G7 | Cmaj7 | Am7 |');
    // Each neighbour held where it would be without the choice is never cheaper.
    const free = voice('| Dm7 | G7 | Cmaj7 | Am7 |');
    const [first = '', , third = '', fourth = ''] = chartReport(free).chords.map(({ notes }) =>
      notes.map(({ name }) => name).join(','),
    );
    const fixed = voice(
      `| voicing=${first} Dm7 | technique=close G7 | voicing=${third} Cmaj7 | voicing=${fourth} Am7 |`,
    );
    expect(best.cost).toBeLessThanOrEqual(fixed.cost + 1e-6);
  });

  test('holds wherever its bar is played, and in parallel leading too', () => {
    const [one, two, three, four] = notesOf('|: Dm7 | voicing=3 G7 :|');
    expect([one, two]).toEqual([three, four]);
    const id = presets.find((preset) => preset.parallel !== undefined)?.id ?? '';
    const parallel = chartReport(voice('| Dm7 | bass=third G7 | technique=close Cmaj7 |', id));
    expect(parallel.chords[1]?.notes[0]?.degree).toBe('3');
    expect(parallel.chords[2]?.technique).toBe('close');
  });

  test('every technique that serves a seventh chord by itself can be chosen', () => {
    for (const id of strategyIds) {
      const [, chord] = chartReport(voice(`| C6 | technique=${id} Dm7 |`)).chords;
      if (chord?.givenUp.length === 0) expect(chord.technique).toBe(id);
      expect(chord?.notes.length).toBeGreaterThan(2);
    }
  });

  test('is shown in hand-outs and scores, and written as text again', () => {
    const text =
      '| Dm7 | technique=close bass=third <(G7@F4) | preset="drop-2-sevenths" voicing=C3,Bb3,D4,G4 C |\n';
    const voiced = voice(text);
    const progression = progressionOfChart(voiced);
    expect(toHandOutText(progression)).toContain('chosen: close');
    expect(toMusicXml(progression)).toContain('chosen: close');
    const written = writeChart(voiced.chart);
    expect(written).toBe(
      '| Dm7 | technique=close bass=third <(G7@F4) | preset=drop-2-sevenths voicing=C3,Bb3,D4,G4 C |\n',
    );
    expect(notesOf(written)).toEqual(notesOf(text));
  });

  test('the bass as written stands under a preset without one, and is no contradiction', () => {
    const under = (text: string) => chartReport(voice(text, 'rootless-hand')).chords[0]?.notes[0];
    expect(under('| Dm7 |')?.part).toBe('upper');
    expect(under('| bass=written Dm7 |')).toMatchObject({ part: 'bass', degree: '1' });
    expect(under('| bass=written Dm7/G |')?.name).toMatch(/^G\d/u);
    expect(under('| bass=seventh Dm7 |')).toMatchObject({ part: 'bass', degree: 'b7' });
  });

  test('our own score read back is the same chart', () => {
    const text =
      '| Dm7 | technique=close bass=third <(G7@F4) | preset="rootless-hand" C Am7/G@E4 | bass=written voicing=2 F/C N.C. |]\n';
    const voiced = voice(text);
    const xml = toMusicXml(progressionOfChart(voiced));
    const read = readMusicXml(xml, { withMelody: false });
    if (!read.ok) throw new Error(read.problem.message);
    const barsIn = (written: string) => written.split('\n').filter((line) => line.startsWith('|'));
    expect(barsIn(writeChart(read.value))).toEqual(barsIn(writeChart(voiced.chart)));
    // Of other programs nothing is believed.
    const foreign = xml.replace(/(<other-direction[^>]*>)[^<]*/gu, '$1dim. molto x=y bass=low');
    const others = readMusicXml(foreign, { withMelody: false });
    expect(others.ok && writeChart(others.value)).not.toMatch(/[=@]/u);
  });

  test('a session as a chart has what was chosen, and sounds so again', () => {
    const first = reportOf(0, 'Dm7', ['D2', 'C4', 'F4', 'A4']);
    const second = reportOf(1e6, 'C7', ['E2', 'Bb3', 'D4', 'G4']);
    const chosen = { ...second, choice: { by: 'voicing' as const, index: 2, of: 5 } };
    const text = chartText([first, chosen], undefined);
    const [, sounding] = notesOf(text);
    expect(sounding).toEqual(second.sent.voices.map(({ note }) => note));
    expect(text).not.toContain('preset=');
    expect(chartText([first, { ...chosen, preset: 'other' }], undefined)).toContain('preset=other');
  });
});

test.each([
  ['| bas=third C |', "1:3 'bas=' is nothing to choose (nearest: 'bass'); there are"],
  ['| bass=thirt C |', "1:3 There is no bass 'thirt' (nearest: 'third'); there are root"],
  ['| technique= C |', "1:3 'technique=' has nothing after it."],
  ['| technique=drop2 C |', "1:3 There is no technique 'drop2' (nearest: 'drop-2')"],
  ['| voicing=0 C |', "1:3 'voicing=0': voicings are counted from 1"],
  ['| voicing=C4 C |', "1:3 'voicing=C4' is a single note"],
  ['| voicing=C4,H4 C |', "1:3 'voicing=C4,H4': 'H4' is no note"],
  ['| voicing=E4,C4 C |', "1:3 'voicing=E4,C4' does not run upwards"],
  ['| C voicing=2 |', "1:5 'voicing=2' stands before the chord it is for"],
  ['| C | bass=root % |', "1:7 'bass=root' stands before the chord it is for"],
  ['| bass=root bass=third C |', "1:13 'bass=third' is chosen a second time"],
  ['| bass=third C/G |', "1:14 'C/G' has its bass after the slash"],
  ['| bass=third voicing=C3,E4 C |', "The notes after 'voicing=' say all; take 'bass=' out."],
  ['| voicing=C3,E4 C@G4 |', "The voicing of 'C' has its top on another note than '@'"],
  ['| voicing=900 Cmaj7 |', "voicings of 'Cmaj7' here, so that 'voicing=900' is none"],
  ['| preset=nowhere C |', "1:18 There is no preset 'nowhere'"],
  ['| technique=shell bass=fifth C7 |', "'shell' has no voicing of 'C7' over its fifth"],
  ['| technique=drop-2 bass=third Csus4 |', "'Csus4' has no third that could be its bass"],
])('%s is refused with a sentence and its place', (text, sentence) => {
  expect(faultsOf(text)).toHaveLength(1);
  expect(faultsOf(text)[0]).toContain(sentence);
});
