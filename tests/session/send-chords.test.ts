/** Chords that were played, sent on as a chart and a take. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { describe, expect, test, vi } from 'vitest';
import { parseChart } from '../../src/chart/parse.ts';
import { sentenceOf } from '../../src/common/result.ts';
import { listCharts } from '../../src/io/files/chart-files.ts';
import { readTakes } from '../../src/io/takes/take-store.ts';
import { chartText } from '../../src/session/chart-of-chords.ts';
import { sendChart, sendTake } from '../../src/session/send-chords.ts';
import { takeToMidiFile } from '../../src/take/midi-file.ts';
import { progression } from '../ui/fixtures.ts';
import { begin, sessionFolder, withSessionFolder } from './rig.ts';

withSessionFolder();

describe('sending chords', () => {
  test('the chart parses back to the same chords, one a bar', () => {
    const parsed = parseChart(chartText(progression, 'Db major'));
    if (!parsed.ok) throw new Error(JSON.stringify(parsed));
    expect(chartText(progression, 'Db major')).toContain('| Db | Bbm/Db | Gb | Ebm |\n| Ab/C |');
  });

  // midi-file is an independent reader.
  test('the take is one among the others, and every note of its MIDI file ends', () => {
    const chords = progression.map((chord, place) => ({
      ...chord,
      atMicroseconds: place * 600_000,
    }));
    const takes = join(sessionFolder(), 'takes');
    const said = sendTake(takes, chords, { preset: 'one', key: 'Db major' });
    const [take, ...more] = readTakes(takes).takes;
    if (take === undefined) throw new Error(said);
    expect(said).toBe(`The chords are the take '${take.name}'. See it with 'handspan takes'.`);
    expect([more, take.journal.isComplete]).toEqual([[], true]);
    expect(take.journal.chords.map((each) => each.heard)).toEqual(chords.map((each) => each.heard));
    const { tracks } = parseMidi(takeToMidiFile(take.journal));
    const played = chords.reduce((sum, chord) => sum + chord.heard.notes.length, 0);
    const sounded = chords.reduce((sum, chord) => sum + chord.sent.voices.length, 0);
    for (const [track, notes] of [
      [1, played],
      [2, sounded],
    ] as const) {
      const events = tracks[track] ?? [];
      expect(events.filter((event) => event.type === 'noteOn')).toHaveLength(notes);
      expect(events.filter((event) => event.type === 'noteOff')).toHaveLength(notes);
    }
  });

  test('with no chord played there is no chart, and the screen says so', async () => {
    const { session, act, folders } = begin();
    act({ type: 'writeChart', from: 0, to: 0 });
    await vi.waitFor(() => expect(session.message).toContain('No chord was played yet'));
    expect(existsSync(folders.charts)).toBe(false);
  });

  test('both go into their folders and the screen says where', async () => {
    const { session, act, folders } = begin();
    session.tape.takeReports(progression);
    act({ type: 'writeChart', from: 1, to: 3 });
    await vi.waitFor(() => expect(session.message).toContain('The chart of 3 chords is in'));
    const [name = ''] = readdirSync(folders.charts);
    expect(readFileSync(join(folders.charts, name), 'utf8')).toContain('| Bbm/Db | Gb | Ebm |');
    act({ type: 'writeTake', from: 0, to: 4 });
    await vi.waitFor(() => expect(session.message).toContain('The chords are the take'));
  });
});

test('a stretch is compared in the presets on stage, the one that plays first', async () => {
  const { session, act, folders } = begin();
  act({ type: 'compareChords', from: 0, to: 0 });
  await vi.waitFor(() => expect(session.message).toContain('no chord with a name'));
  session.tape.takeReports(progression);
  act({ type: 'compareChords', from: 1, to: 3 });
  await vi.waitFor(() => expect(session.message).toContain('The comparison is in'));
  expect(listCharts(folders.charts)).toEqual({ ok: true, value: [] });
  const place = join(folders.charts, 'compared');
  const [name = ''] = readdirSync(place);
  const text = readFileSync(join(place, name), 'utf8');
  const count = Math.min(8, session.onStage.length);
  expect(text).toContain(`3 bars in ${count} treatments`);
  expect(text).toContain(session.setup.preset.name);
  expect(text).toMatch(/^1\.1 +Bbm\/Db .*^2\.1 +Gb .*^3\.1 +Ebm .*^Measured/ms);
});

test('chords over a tune go into its own bars, with the voicings that were turned to', async () => {
  const parsed = parseChart('title: Ours\n|: Dm7 | G7 :|\n');
  if (!parsed.ok) throw new Error('no chart');
  const [first, second] = progression;
  if (first === undefined || second === undefined) throw new Error('no chords');
  const at = (bar: number) => ({ place: { bar, beat: 1, chorus: 1 } });
  const chosen = { choice: { by: 'voicing', index: 2, of: 3 } as const };
  const { folders } = begin();
  const chords = [
    { ...first, ...at(1), ...chosen },
    { ...second, place: { bar: 2, beat: 1, chorus: 1, isUnsure: true } },
  ];
  expect(sentenceOf(await sendChart(folders.charts, chords, undefined, parsed.value))).toContain(
    'chart is in',
  );
  const [name = ''] = readdirSync(folders.charts);
  const text = readFileSync(join(folders.charts, name), 'utf8');
  expect(text).toMatch(/^title: Ours\n\n\|: voicing=\S+ Db \| G7 :\|\n$/u);
});
