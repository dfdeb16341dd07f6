/**
 * By ear alone, as a user would: a fourths voicing over the third for each chord of an invented tune,
 * kept; a grip of the player's own played over it in another key; both as a chart and a MIDI file.
 * Every order but 'play' stands for a keystroke beside the chords. No source: the tune is ours.
 */
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';
import { expect, onTestFinished, test, vi } from 'vitest';
import { rehearseIn } from '../helpers/rehearsal.ts';
import { runCommand } from './run-command.ts';

const inF = ['Fmaj7', 'Dm7', 'Gm7', 'C7', 'Am7', 'D7', 'Gm7', 'C7'];
const inAb = ['Abmaj7', 'Fm7', 'Bbm7', 'Eb7', 'Cm7', 'F7', 'Bbm7', 'Eb7'];

function begin() {
  const home = mkdtempSync(join(tmpdir(), 'handspan-trial-'));
  onTestFinished(() => {
    vi.unstubAllEnvs();
    rmSync(home, { recursive: true });
  });
  vi.stubEnv('HANDSPAN_HOME', home);
  const order = rehearseIn(join(home, 'presets'), 'fourths-over-root');
  const said: string[] = [];
  let keys = 0;
  /** One keystroke; the line it is answered by. */
  const press = async (key: string) => {
    keys += 1;
    const answer = await order(key);
    said.push(...answer.said);
    return answer.lines.at(-1);
  };
  const play = async (symbol: string) => (await order(`play ${symbol}`, 'let go')).lines.at(-1);
  /** The tune as it sounds now, played once. */
  const playAll = async (symbols: readonly string[]) => {
    const sent: string[] = [];
    for (const symbol of symbols) {
      const notes = (await play(symbol))?.sent.notes ?? [];
      sent.push(notes.map(({ midi }) => midi).join(' '));
    }
    return sent;
  };
  return { home, order, press, play, playAll, said, keys: () => keys };
}

/** What was played as a chart, and what that chart sounds in a preset as notes of a MIDI file. */
async function written(home: string, preset: string, key: string) {
  const folder = join(home, 'charts');
  const chart = join(folder, readdirSync(folder).at(-1) ?? '');
  const midi = join(home, 'tune.mid');
  const made = await runCommand(
    ...['chart', chart, '--preset', preset, '--key', key, '--midi', midi, '--force'],
  );
  expect(made.code, made.err).toBe(0);
  const sounding = new Map<number, number[]>();
  for (const track of parseMidi(readFileSync(midi)).tracks) {
    let at = 0;
    for (const event of track) {
      at += event.deltaTime;
      if (event.type !== 'noteOn' || event.velocity === 0) continue;
      sounding.set(at, [...(sounding.get(at) ?? []), event.noteNumber]);
    }
  }
  const rows = [...sounding].sort(([one], [other]) => one - other);
  const notes = rows.map(([, row]) => row.sort((one, other) => one - other).join(' '));
  return { text: readFileSync(chart, 'utf8'), notes };
}

test('fourths over the third of every chord of a tune: found, kept and written with 7 keystrokes', async () => {
  const { home, order, press, play, playAll, said, keys } = begin();
  await order('key F');
  for (const symbol of inF) {
    let line = await play(symbol);
    const isOverThird = (): boolean => / over the 3rd/u.test(JSON.stringify(line?.sent));
    if (isOverThird()) continue;
    for (let turns = 0; turns < 5 && !isOverThird(); turns += 1) line = await press('bass next');
    expect(isOverThird(), symbol).toBe(true);
    await press('keep voicing type');
  }
  // One kind of chord each: one turn and one to keep it; the others come as they were kept.
  expect(said.filter((each) => each.startsWith('Kept for chords like'))).toHaveLength(3);
  const sent = await playAll(inF);
  await press('write chart');
  expect(keys()).toBe(7);
  const out = await written(home, 'my-fourths-over-the-root', 'F');
  expect(out.text).toContain('| Fmaj7 | Dm7 | Gm7 | C7 |');
  expect(out.notes.slice(-8)).toEqual(sent);
});

test('a five-note grip of the own hand over the tune in another key, with 4 keystrokes', async () => {
  const { home, order, press, playAll, keys } = begin();
  await order('play Dm7');
  await press('take shape');
  await order('play D2 F3 C4 E4 A4');
  await order('let go');
  await press('keep shape My grip');
  await press('key Ab');
  const sent = await playAll(inAb);
  // On every minor seventh it is the grip, transposed, but on the third degree, which has no ninth.
  for (const [place, symbol] of inAb.entries()) {
    if (!/[FB]b?m7/u.test(symbol)) continue;
    const notes = (sent[place] ?? '').split(' ').map(Number);
    const [lowest = 0] = notes;
    expect(
      notes.map((note) => note - lowest),
      symbol,
    ).toEqual([0, 15, 22, 26, 31]);
  }
  await press('write chart');
  expect(keys()).toBe(4);
  // The stage only looks back: where the file knows what comes it may lie an octave away.
  const classes = (row: string) => row.split(' ').map((note) => Number(note) % 12);
  const out = await written(home, 'my-grip', 'Ab');
  expect(out.notes.slice(-8).map(classes)).toEqual(sent.map(classes));
});
