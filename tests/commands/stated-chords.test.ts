/** A chord that is typed on the stage is the chord that its symbol says, as it is in a chart. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { parseChart } from '../../src/chart/parse.ts';
import { chartReport } from '../../src/chart/report.ts';
import { tuneOf } from '../../src/chart/tune-of-chart.ts';
import { voiceChart } from '../../src/chart/voice.ts';
import { chordTypes } from '../../src/harmony/chord/chord-type.ts';
import { semitonesOf } from '../../src/harmony/pitch/degree.ts';
import { has, relativeTo, setOfNotes, sizeOf } from '../../src/harmony/pitch/pitch-class-set.ts';
import { pitchClassOfSpelled } from '../../src/harmony/pitch/pitch-name.ts';
import type { ChordSymbol } from '../../src/harmony/symbol/chord-symbol.ts';
import { formatSymbol } from '../../src/harmony/symbol/format-symbol.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { createEngine } from '../../src/live/engine.ts';
import { writtenChord } from '../../src/session/rehearsal/written-chord.ts';
import { writtenAgainst } from '../../src/ui/against-written.ts';
import { rehearseIn } from '../helpers/rehearsal.ts';
import { plainPreset, shippedPreset } from '../live/play.ts';

function rehearse(preset: string) {
  const folder = mkdtempSync(join(tmpdir(), 'handspan-stated-'));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  return rehearseIn(folder, preset);
}

function symbolOf(text: string): ChordSymbol {
  const parsed = parseSymbol(text);
  if (!parsed.ok) throw new Error(parsed.problem);
  return parsed.value;
}

const roots = 'C Db D Eb E F F# Gb G Ab A Bb B C# Cb'.split(' ');
const basses = 'C C# D Eb E F F# G Ab A Bb B'.split(' ');

/** Each type as it is and over a bass; all roots and basses come. */
const symbols = chordTypes.flatMap((type, place) =>
  [0, 1].map((turn) => {
    const root = roots[(place * 7 + turn * 4) % roots.length];
    const bass = turn % 2 === 0 ? '' : `/${basses[(place * 5 + 1) % 12]}`;
    return formatSymbol(symbolOf(`${root}${type.symbol}${bass}`));
  }),
);

/**
 * What of the symbol's tones does not sound: besides root and fifth, also of the bass over which the
 * whole may be read, and besides what it only implies; of a choice one is enough.
 */
function missingOf({ root, type, bass = root }: ChordSymbol, sounding: number) {
  const from = pitchClassOfSpelled(root);
  const fifth = (pitchClassOfSpelled(bass) + 7) % 12;
  const above = relativeTo(sounding | (1 << fifth), from);
  const named = type.degrees.filter(
    (degree) => degree !== '1' && degree !== '5' && !type.optional.includes(degree),
  );
  const isFree = (degree: (typeof named)[number]) =>
    type.oneOf.some((choice) => has(choice, semitonesOf(degree) % 12) && (choice & above) !== 0);
  return named.filter((degree) => !isFree(degree) && !has(above, semitonesOf(degree) % 12));
}

test('what is typed is shown as a chart shows it, over its bass, and its tones sound or are told', async () => {
  const order = rehearse('fourths-over-root');
  const chart = parseChart(symbols.map((symbol) => `| ${symbol} `).join(''));
  if (!chart.ok) throw new Error(chart.problems[0]?.message);
  const { preset } = order.session.setup;
  const charted = chartReport(
    voiceChart(chart.value, { preset, key: undefined, registers: {} }),
  ).chords;
  expect(charted.map(({ symbol }) => symbol)).toEqual(symbols);
  const wrong: string[] = [];
  for (const text of symbols) {
    const { lines, said } = await order(`play ${text}`);
    const [line] = lines;
    if (said.length > 0 || line?.heard.symbol !== text || lines.length > 1) {
      wrong.push(`${text}: ${line?.heard.symbol} ${said.join(' ')}`);
      continue;
    }
    const symbol = symbolOf(text);
    const notes = line.sent.notes.map(({ midi }) => midi);
    const isOver = symbol.bass && (notes[0] ?? 0) % 12 === pitchClassOfSpelled(symbol.bass);
    if (isOver === false) wrong.push(`${text} is over ${notes[0]}`);
    const missing = missingOf(symbol, setOfNotes(notes));
    if (missing.length > line.sent.leftOut.length) wrong.push(`${text} without ${missing}`);
  }
  expect(wrong).toEqual([]);
}, 60_000);

test('in a plain close position every tone of the symbol sounds', () => {
  const engine = createEngine({ preset: { ...plainPreset, voices: 4 }, key: 'C minor' });
  const four = symbols.filter((text) => {
    const { type, bass } = symbolOf(text);
    return bass === undefined && type.degrees.length === 4 && type.oneOf.length === 0;
  });
  let at = 0;
  for (const text of four) {
    at += 1_000_000;
    const chord = writtenChord(text);
    if (!chord.ok) throw new Error(chord.problem);
    const keys = chord.notes.map((note) => ({ channel: 0, note, velocity: 80 }));
    const struck = keys.map((key) => ({ type: 'noteOn', ...key }) as const);
    engine.playSymbol(text, struck, at);
    for (const key of keys) engine.receive({ type: 'noteOff', ...key }, at + 500_000);
    const [report] = engine.takeReports();
    const sent = report?.sent.voices.map(({ note }) => note) ?? [];
    expect([report?.heard.symbol, missingOf(symbolOf(text), setOfNotes(sent))], text).toEqual([
      text,
      [],
    ]);
    expect(sizeOf(setOfNotes(sent)), text).toBe(4);
  }
  expect(four.length).toBeGreaterThan(20);
});

const symbolsOf = (lines: readonly { readonly heard: { readonly symbol: string } }[]) =>
  lines.map(({ heard }) => heard.symbol);

test('a statement holds in any key, while listening and in another preset; keys after it are heard', async () => {
  const order = rehearse('fourths-over-root');
  const { session, own } = order;
  const { lines } = await order('key C minor', 'play Eb6', 'play Bb13sus4/F', 'play Fm6');
  expect(symbolsOf(lines)).toEqual(['Eb6', 'Bb13sus4/F', 'Fm6']);
  session.remember({ ...session.memory, switching: 'at-once' });
  const anew = await order('preset drop-2-sevenths');
  expect(symbolsOf(anew.lines)).toEqual(['Fm6']);
  expect(anew.lines[0]?.preset).toBe('drop-2-sevenths');
  // What it would be elsewhere is the same chord.
  expect(own.previewOf('fourths-over-root')?.heard.symbol).toBe('Fm6');
  const heard = await order('let go', 'play Eb4 G4 Bb4 C5', 'let go');
  expect(symbolsOf(heard.lines)).toEqual(['Cm7/Eb']);
  const listened = await order('listen', 'play Fm6', 'let go');
  expect(symbolsOf(listened.lines)).toEqual(['Fm6']);
});

test('keys of a statement are no bound keys, of no split and of no tune, and end as they began', () => {
  const [preset, other] = ['drop-2-sevenths', 'fourths-over-root'].map(shippedPreset);
  if (preset === undefined || other === undefined) throw new Error('no preset');
  const split = { ...preset, playing: { ...preset.playing, split: { at: 60, chords: 'below' } } };
  const setup = {
    preset: split as typeof preset,
    presets: [preset, other],
    key: 'C minor',
    controls: { keys: { lowest: 60, highest: 80 } },
  };
  const engine = createEngine(setup);
  const keys = [65, 68, 72, 74].map((note) => ({ channel: 0, note, velocity: 80 }));
  const struck = keys.map((key) => ({ type: 'noteOn', ...key }) as const);
  const on = engine.playSymbol('Fm6', struck, 0).filter(({ type }) => type === 'noteOn');
  const [report] = engine.takeReports();
  expect([report?.heard.symbol, report?.preset]).toEqual(['Fm6', preset.id]);
  expect(on).toHaveLength(report?.sent.voices.length ?? 0);
  const off = keys.flatMap((key) => engine.receive({ type: 'noteOff', ...key }, 900_000));
  expect(off.filter(({ type }) => type === 'noteOff')).toHaveLength(on.length);
  // Text that is no symbol leaves the notes to the ear.
  const fresh = createEngine(setup);
  fresh.playSymbol('?', struck, 0);
  expect(fresh.takeReports()[0]?.heard.symbol).toBe('Dm7(b5)/F');
});

test('over a tune a statement is told beside what is written, and what agrees has all the tune asks for', async () => {
  const order = rehearse('drop-2-sevenths');
  const parsed = parseChart('key: C minor\n| Cm7 | Fm6 | Bb13 |');
  if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
  const stage = { tune: tuneOf(parsed.value), reading: 'as-written' as const };
  order.session.tune.open({ stage, chart: parsed.value });
  const { lines } = await order('play Cm7', 'play Dm7b5/F', 'play Bb13', 'let go');
  expect(symbolsOf(lines)).toEqual(['Cm7', 'Dm7(b5)/F', 'Bb13']);
  const told = order.session.chords.map((report) => writtenAgainst(report));
  expect(told).toEqual(['', 'Fm6', '']);
  const heard = order.session.chords.map((each) => [each.heard.isWritten, each.heard.isStated]);
  expect(heard).toEqual([
    [true, undefined],
    [undefined, true],
    [true, undefined],
  ]);
});
