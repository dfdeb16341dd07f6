/**
 * What goes wrong on stage, done on purpose among real ALSA clients: keyboards pulled, processes
 * killed, a fault inside the worker. Nothing may go on sounding, and play goes on.
 */
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, afterEach, before, describe, test } from 'node:test';
import { setTimeout as wait } from 'node:timers/promises';
import { type Listener, listenTo, openListeningPort } from './capture.ts';
import { endChildren, startChild } from './children.ts';
import { firstPreset, inFirstPreset } from './expected.ts';
import { type Keyboard, plugIn, unplugAll, waitForListener } from './keyboard.ts';
import { makeHome, outputName, type Program, start, waitForPortWord } from './program.ts';
import { findPort, waitFor } from './sequencer.ts';
import { notesOf, soundingNow, unbalanced, waitForSound } from './sounding.ts';

const tonic = [60, 64, 67];
/** `tonic` in the first preset, at the beginning of a session. */
const tonicSounds = inFirstPreset[0] ?? [];

const waitForSilence = (listener: Listener) => waitForSound(listener, 0);

async function tidyUp(): Promise<void> {
  unplugAll();
  await endChildren();
}

/** `handspan play` between ports that exist; resolves when it listens to all the keyboards. */
async function playBetween(options: {
  readonly from: readonly string[];
  readonly to?: string;
  readonly home?: string;
}): Promise<Program> {
  const from = options.from.flatMap((name) => ['--from', name]);
  const to = options.to === undefined ? [] : ['--to', options.to];
  const args = ['play', '--plain', '--preset', firstPreset, ...from, ...to];
  const program = start(args, options.home);
  for (const name of options.from) await waitForListener(name);
  if (options.to === undefined) await waitFor('the output', () => findPort(outputName));
  return program;
}

/** Longer than from one look at the ports to the next, on a machine that is ten times too slow. */
const nextLookAtPorts = () => wait(3_000);

describe('two keyboards', () => {
  const [left, right] = ['Left keys', 'Right keys'];
  let hands: readonly [Keyboard, Keyboard];
  let program: Program;
  let listener: Listener;
  after(tidyUp);

  before(async () => {
    hands = [plugIn(left), plugIn(right)];
    program = await playBetween({ from: [left, right] });
    listener = await listenTo(outputName);
  });

  test('holding the same chord: the first to let go leaves it to the other', async () => {
    const [one, other] = hands;
    one.press(...tonic);
    await waitForSound(listener, tonicSounds.length);
    // A controller is passed on after what came before it on the same port; between two ports
    // nothing but waiting keeps an order.
    const heardController = (number: number) =>
      waitFor(`controller ${number}`, () =>
        listener
          .heard()
          .some((event) => event.kind === 'other' && event.text.includes(`controller ${number}`))
          ? true
          : undefined,
      );
    other.press(...tonic);
    other.send([0xb0, 21, 1]);
    await heardController(21);
    one.lift(...tonic);
    one.send([0xb0, 20, 1]);
    await heardController(20);
    assert.notDeepEqual(soundingNow(listener), []);
    other.lift(...tonic);
    await waitForSilence(listener);
    assert.deepEqual(unbalanced(listener.heard()), []);
  });

  test('one vanishes under both their chords: the other goes on sounding', async () => {
    const [one, other] = hands;
    one.press(...tonic);
    await waitForSound(listener, tonicSounds.length);
    other.press(72, 76, 79);
    one.unplug();
    await waitFor('the end of one input', () => (findPort(left) ? undefined : true));
    await nextLookAtPorts();
    assert.notDeepEqual(soundingNow(listener), []);
    other.lift(72, 76, 79);
    await waitForSilence(listener);
    assert.deepEqual(unbalanced(listener.heard()), []);
    await waitForPortWord(program, ['input', left, 'gone; what it held is released']);
  });

  test('that one is back, and vanishes or falls silent under a held chord: released; play goes on', async () => {
    const first = plugIn(left);
    await waitForListener(left);
    await waitForPortWord(program, ['input', left, 'back']);
    first.press(...tonic);
    await waitForSound(listener, tonicSounds.length);
    first.unplug();
    await waitForSilence(listener);
    const again = plugIn(left);
    await waitForListener(left);
    again.press(...tonic);
    await waitForSound(listener, tonicSounds.length);
    again.lift(...tonic);
    await waitForSilence(listener);
    assert.deepEqual(unbalanced(listener.heard()), []);

    // Active Sensing that stops releases the chord, and that input is played again.
    again.send([0xfe]);
    again.press(...tonic);
    await waitForSound(listener, tonicSounds.length);
    await waitForSilence(listener);
    again.lift(...tonic);
    again.press(...tonic);
    await waitForSound(listener, tonicSounds.length);
    again.lift(...tonic);
    await waitForSilence(listener);
    assert.deepEqual(unbalanced(listener.heard()), []);
  });
});

describe('kill -9', () => {
  afterEach(tidyUp);

  /** What the process has written down of what sounds, or ''. */
  function recorded(home: string): string {
    const folder = join(home, 'sounding');
    const [name] = readdirSync(folder);
    return name === undefined ? '' : readFileSync(join(folder, name), 'utf8');
  }

  test('under held notes: the next start ends them at the output, and one after a proper end sends nothing', async () => {
    const home = makeHome();
    const keys = plugIn('Stage keys');
    const listener = await openListeningPort();
    const first = await playBetween({ from: ['Stage keys'], to: 'aseqdump', home });
    keys.send([0xb0, 64, 127]);
    keys.press(...tonic);
    await waitForSound(listener, tonicSounds.length);
    // Nothing was written down of an earlier session, and nothing came before what was played.
    const [begun] = listener.heard();
    assert.match(begun?.kind === 'other' ? begun.text : '', /controller 64, value 127$/);
    await waitFor('the record of what sounds', () =>
      tonicSounds.every((note) => recorded(home).includes(`[0,${note}]`)) ? true : undefined,
    );
    await first.end('SIGKILL');
    assert.equal(soundingNow(listener).length, tonicSounds.length);

    keys.lift(...tonic);
    const second = await playBetween({ from: ['Stage keys'], to: 'aseqdump', home });
    await waitForSilence(listener);
    await waitFor('sustain and all notes off', () => {
      const texts = listener.heard().map((event) => (event.kind === 'other' ? event.text : ''));
      const last = texts.filter((text) => text.startsWith('Control change 0')).slice(-2);
      const isOff = /controller 64, value 0$/.test(last[0] ?? '');
      return isOff && /controller 123, value 0$/.test(last[1] ?? '') ? true : undefined;
    });
    const heardBefore = notesOf(listener.heard()).length;
    keys.press(...tonic);
    await waitForSound(listener, tonicSounds.length);
    keys.lift(...tonic);
    await waitForSilence(listener);
    assert.deepEqual(unbalanced(listener.heard()), []);
    assert.equal(notesOf(listener.heard()).length, heardBefore + 2 * tonicSounds.length);
    // A proper end, under a chord: nothing is written down for the next start, which therefore sends
    // as little as the first did.
    keys.press(...tonic);
    await waitForSound(listener, tonicSounds.length);
    await second.end();
    await waitForSilence(listener);
    await wait(1_000);
    assert.deepEqual(unbalanced(listener.heard()), []);
    assert.deepEqual(readdirSync(join(home, 'sounding')), []);
  });
});

describe('a fault inside the worker, outside the engine', () => {
  afterEach(tidyUp);

  test('lets every note go and ends the process with a word', async () => {
    const listener = await openListeningPort();
    const options = {
      ports: { isVirtualInput: false, isVirtualOutput: false, from: [], to: ['aseqdump'] },
      chord: tonic,
      end: 'fault',
    };
    // Bundled beside this file by whoever runs it.
    const [host, worker] = ['host-process', 'echo-worker'].map((name) =>
      join(import.meta.dirname, `${name}.mjs`),
    );
    const child = startChild(
      process.execPath,
      [host ?? '', worker ?? '', JSON.stringify(options)],
      { stdio: ['ignore', 'pipe', 'inherit'] },
    );
    let said = '';
    child.stdout?.on('data', (chunk: Buffer) => {
      said += chunk.toString();
    });
    await waitFor('the last word', () => (said.includes('stopped: ') ? true : undefined));
    await waitForSilence(listener);
    assert.match(
      said,
      /stopped: The MIDI thread stopped after a fault: a fault outside the engine\./,
    );
    assert.ok(notesOf(listener.heard()).length >= 4 * tonic.length, 'nothing was played');
    assert.deepEqual(unbalanced(listener.heard()), []);
  });
});
