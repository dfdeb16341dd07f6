/**
 * `learn` as a player meets it: on the set-up page a row waits, a real pedal moves, the row shows it,
 * the settings keep it and the feet are obeyed, in this session and the next.
 */
import assert from 'node:assert/strict';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, describe, test } from 'node:test';
import { type Listener, listenTo } from './capture.ts';
import { endChildren } from './children.ts';
import { demoPresetFiles, steadyId } from './demo-expected.ts';
import { chord, type Played, play, tread } from './performance.ts';
import {
  addressOf,
  inputName,
  makeHome,
  outputName,
  presetsTold,
  startPlaying,
} from './program.ts';
import { findPort, waitFor } from './sequencer.ts';
import { notesOf, unbalanced } from './sounding.ts';
import { closeScreen, hasTmux, lookEveryMs, playOnScreen, type Screen } from './terminal.ts';

/** A, B, A: what feet step through. */
const ids = ['fourths-over-root', 'spread-tenths', 'fourths-over-root'].map(steadyId);
/** As the stage points at them. */
const firstPlays = /▸ 1 Fourths over the root/;
const secondPlays = /▸ 2 Spread tenths/;

const perform = (...played: readonly (readonly Played[])[]) =>
  play(played.flat(), addressOf(inputName)).ended;

/** The row the cursor is on: its label, blanks, its value. */
const rowOf = (screen: Screen) => /^ *▸ +(.+)$/m.exec(screen.text())?.[1] ?? '';

/** How many rows below the cursor the label stands; not a number where either cannot be seen. */
function rowsTo(screen: Screen, label: string): number {
  const text = screen.text();
  const rows = [...text.matchAll(/^ +(▸ )? *(\S.*?) {2,}\S/gm)].map(([, cursor, row]) => ({
    isCursor: cursor !== undefined,
    row,
  }));
  const [from, to] = [
    rows.findIndex(({ isCursor }) => isCursor),
    rows.findIndex(({ row }) => row === label),
  ];
  return from < 0 || to < 0 ? Number.NaN : to - from;
}

/** Many rows at once, since each look at the screen starts a program; then again, should one be missed. */
async function goToRow(screen: Screen, label: string): Promise<void> {
  for (let trials = 0; trials < 20 && !rowOf(screen).startsWith(`${label}  `); trials += 1) {
    const way = rowsTo(screen, label);
    const keys = Math.abs(way) || 1;
    screen.press(...Array.from({ length: keys }, () => (way < 0 ? 'Up' : 'Down')));
    const isThere = () => (rowOf(screen).startsWith(`${label}  `) ? true : undefined);
    await waitFor('the cursor to get there', isThere, 5_000, lookEveryMs).catch(() => {});
  }
  assert.ok(rowOf(screen).startsWith(`${label}  `), screen.text());
}

const controllersHeard = (listener: Listener) =>
  listener
    .heard()
    .flatMap((event) => (event.kind === 'other' ? [event.text] : []))
    .flatMap((text) => /controller (\d+), value (\d+)/.exec(text)?.slice(1).join(' ') ?? []);

describe('learn', { skip: hasTmux ? false : 'no tmux' }, () => {
  const home = makeHome(demoPresetFiles());
  writeFileSync(join(home, 'settings.json'), JSON.stringify({ setlists: { Feet: ids } }));

  after(async () => {
    closeScreen();
    await endChildren();
  });

  test('a pedal moved on a real port is bound, kept and obeyed', async () => {
    const screen = await playOnScreen(home, { input: inputName, output: outputName }, [
      '--setlist',
      'Feet',
    ]);
    await screen.see(firstPlays);
    screen.press('BTab');
    await screen.see(/next preset/);

    await goToRow(screen, 'next preset');
    screen.press('Enter');
    await screen.see(/next preset +move it now/);
    await perform(tread(80));
    await screen.see(/next preset +controller 80/);

    // The sustain pedal belongs to playing: refused with the reason, and the row is as it was.
    await goToRow(screen, 'preset before');
    screen.press('Enter');
    await screen.see(/preset before +move it now/);
    await perform(tread(64));
    await screen.see(/Controller 64 is the sustain pedal/);
    await screen.see(/preset before +none/);

    screen.press('Enter');
    await screen.see(/preset before +move it now/);
    await perform(tread(67));
    await screen.see(/preset before +controller 67/);

    const kept = () => JSON.parse(readFileSync(join(home, 'settings.json'), 'utf8')).controls;
    await waitFor('the settings', () => (kept()?.previous === undefined ? undefined : true));
    assert.deepEqual(kept(), { next: { controller: 80 }, previous: { controller: 67 } });

    const listener = await listenTo(outputName);
    screen.press('Escape');
    await screen.see(firstPlays);
    await perform(tread(80));
    await screen.see(secondPlays);
    await perform(tread(67));
    await screen.see(firstPlays);
    // A register moved by hand comes back with its preset, though feet went away from it.
    for (const key of ['v', 'Right']) screen.press(key);
    await screen.see(/voices moved/);
    await perform(tread(80));
    await screen.see(secondPlays);
    await screen.see(/voices▸/);
    await perform(tread(67));
    await screen.see(firstPlays);
    await screen.see(/voices moved/);
    screen.press('x');
    await screen.see(/voices▸/);
    await perform(tread(64));
    await waitFor('the sustain pedal at the output', () =>
      controllersHeard(listener).includes('64 0') ? true : undefined,
    );
    // What is bound goes no further.
    assert.deepEqual(controllersHeard(listener), ['64 127', '64 0']);
    await listener.stop();
    screen.press('q');
    await screen.see(/q|leave/);
    screen.press('q');
    await screen.see(/ended with 0/);
  });

  test('the next session obeys it too, through A, B, A and round', async () => {
    closeScreen();
    await waitFor('the ports to be free', () => (findPort(inputName) ? undefined : true));
    const program = await startPlaying(['--json', '--setlist', 'Feet'], home);
    const listener = await listenTo(outputName);
    const barMs = 1_500;
    const steps = [80, 80, 80, 67, 67];
    const bar = (step: number, at: number) => [
      ...tread(step, at * barMs),
      ...chord([60, 64, 67], at * barMs + 500, at * barMs + 1_000),
    ];
    await perform(steps.flatMap(bar));
    const presets = () => presetsTold(program.stdout());
    await waitFor('the chords', () => (presets().length >= steps.length ? true : undefined));
    await waitFor('the end of the last chord', () =>
      notesOf(listener.heard()).length > 0 && unbalanced(listener.heard()).length === 0
        ? true
        : undefined,
    );
    const [a, b] = ids;
    assert.deepEqual(presets(), [b, a, a, a, b]);
    assert.equal((await program.end()).code, 0);
    assert.deepEqual(unbalanced(await listener.stop()), []);
  });
});
