/**
 * Handspan among real ALSA clients: aplaymidi plays, aseqdump and arecordmidi listen. Needs a
 * sequencer; scripts/alsa-rig provides one where the machine has none, and one boot of it runs all
 * of this. Node's own test runner reports and counts.
 */
import assert from 'node:assert/strict';
import { after, before, describe, test } from 'node:test';
import { Output } from '@julusian/midi/lazy';
import type { MidiEvent } from 'midi-file';
import { type HeardEvent, type Listener, listenTo, openListeningPort, record } from './capture.ts';
import {
  firstPreset,
  inFirstPreset,
  inSecondPreset,
  roots,
  secondPreset,
  triads,
} from './expected.ts';
import {
  chord,
  detachedChords,
  type Played,
  play,
  programChange,
  systemExclusive,
  velocity,
} from './performance.ts';
import { addressOf, inputName, outputName, type Program, start, startPlaying } from './program.ts';
import { findPort, waitFor } from './sequencer.ts';
import { chordsBetweenSilences, notesOf, unbalanced } from './sounding.ts';

/** Plays into Handspan's input and waits until the last of it has been delivered. */
function perform(played: readonly Played[]): Promise<void> {
  return play(played, addressOf(inputName)).ended;
}

/** Waits until as many chords have begun and ended as were played. */
function waitForChords(listener: Listener, count: number): Promise<true> {
  return waitFor(`${count} chords; heard ${JSON.stringify(listener.heard())}`, () =>
    chordsBetweenSilences(listener.heard()).length >= count ? true : undefined,
  );
}

const otherTexts = (heard: readonly HeardEvent[]) =>
  heard.flatMap((event) => (event.kind === 'other' ? [event.text] : []));

describe('a file of triads', () => {
  let heard: readonly HeardEvent[] = [];
  let recorded: readonly MidiEvent[] = [];
  let lines: readonly string[] = [];

  before(async () => {
    const program = await startPlaying(['--preset', firstPreset]);
    const recorder = await record(outputName);
    const listener = await listenTo(outputName);
    await perform(detachedChords(triads));
    await waitForChords(listener, triads.length);
    heard = await listener.stop();
    recorded = await recorder.stop();
    await program.end();
    lines = program.stdout().split('\n');
  });

  test('comes out in the exact voicings', () => {
    assert.deepEqual(chordsBetweenSilences(heard), inFirstPreset);
  });

  test('comes out as fourths over the root', () => {
    // By the definition of the voicing, so that this holds whatever the table says: the root in the
    // bass, above it three notes each a perfect or augmented fourth apart (5 or 6 semitones).
    const shapes = chordsBetweenSilences(heard).map(
      ([bass = 0, low = 0, middle = 0, high = 0]) => ({
        root: bass % 12,
        areFourths: [middle - low, high - middle].every((step) => step === 5 || step === 6),
      }),
    );
    assert.deepEqual(
      shapes,
      roots.map((root) => ({ root, areFourths: true })),
    );
  });

  test('every note-on has its note-off', () => {
    assert.deepEqual(unbalanced(heard), []);
    assert.ok(notesOf(heard).length > 0);
  });

  test('a recording holds the same notes as were heard', () => {
    const inFile = recorded.flatMap((event) => {
      if (event.type !== 'noteOn' && event.type !== 'noteOff') return [];
      const isOn = event.type === 'noteOn' && event.velocity > 0;
      return [`${isOn ? 'on' : 'off'} ${event.channel}/${event.noteNumber}`];
    });
    const byEar = notesOf(heard).map(
      ({ kind, channel, note }) => `${kind === 'noteOn' ? 'on' : 'off'} ${channel}/${note}`,
    );
    assert.deepEqual(inFile, byEar);
  });

  test('velocity follows the player', () => {
    const velocities = notesOf(heard).filter(({ kind }) => kind === 'noteOn');
    for (const { velocity: sent } of velocities) assert.ok(Math.abs(sent - velocity) <= 16);
  });

  test('is told one line a chord', () => {
    assert.equal(lines.filter((line) => line.includes(firstPreset)).length >= triads.length, true);
  });
});

describe('a preset change', () => {
  test('by program change in the middle of a file takes effect', async () => {
    const program = await startPlaying(['--preset', firstPreset, '--program-change']);
    const listener = await listenTo(outputName);
    const number = Number(/^\s*(\d+)/.exec(await presetRow(secondPreset))?.[1] ?? Number.NaN);
    const middle = triads.length * 500;
    await perform([
      ...detachedChords(triads),
      programChange(number - 1, middle - 100),
      ...detachedChords(triads, middle),
    ]);
    await waitForChords(listener, 2 * triads.length);
    const heard = await listener.stop();
    await program.end();
    assert.deepEqual(chordsBetweenSilences(heard), [...inFirstPreset, ...inSecondPreset]);
    assert.deepEqual(unbalanced(heard), []);
  });

  test('by a typed line takes effect', async () => {
    const program = await startPlaying(['--preset', firstPreset]);
    const listener = await listenTo(outputName);
    await perform(detachedChords(triads));
    await waitForChords(listener, triads.length);
    const printedBefore = program.stdout().length + program.stderr().length;
    program.type(`preset ${secondPreset}`);
    await waitFor('an answer to the typed line', () =>
      program.stdout().length + program.stderr().length > printedBefore ? true : undefined,
    );
    await perform(detachedChords(triads));
    await waitForChords(listener, 2 * triads.length);
    const heard = await listener.stop();
    await program.end();
    assert.deepEqual(chordsBetweenSilences(heard), [...inFirstPreset, ...inSecondPreset]);
    assert.deepEqual(unbalanced(heard), []);
  });
});

/** The line of `handspan presets` for a preset. */
async function presetRow(id: string): Promise<string> {
  const listing = start(['presets']);
  await listing.ended();
  const row = listing
    .stdout()
    .split('\n')
    .find((line) => line.includes(id));
  if (row === undefined) throw new Error(`no preset '${id}' in: ${listing.stdout()}`);
  return row;
}

describe('leaving under held notes', () => {
  for (const signal of ['SIGTERM', 'SIGINT', 'SIGHUP'] as const) {
    test(`${signal} leaves nothing sounding`, async () => {
      const program = await startPlaying(['--preset', firstPreset]);
      const listener = await listenTo(outputName);
      const player = play(chord([60, 64, 67], 0, 600_000), addressOf(inputName));
      await waitFor('a sounding chord', () =>
        notesOf(listener.heard()).length >= 3 ? true : undefined,
      );
      assert.notDeepEqual(unbalanced(listener.heard()), []);
      const ending = await program.end(signal);
      const heard = await listener.stop();
      await player.abandon();
      assert.deepEqual(unbalanced(heard), []);
      assert.equal(findPort(inputName), undefined);
      assert.equal(findPort(outputName), undefined);
      assert.ok(ending.code !== 1, `ended with ${ending.code}: ${program.stderr()}`);
    });
  }
});

describe('what is not a note', () => {
  let program: Program;
  let listener: Listener;

  before(async () => {
    program = await startPlaying(['--preset', firstPreset]);
    listener = await listenTo(outputName);
  });

  after(async () => {
    await listener.stop();
    await program.end();
  });

  test('SysEx passes from a file', async () => {
    await perform([systemExclusive([0x7d, 0x01, 0x02, 0x03], 0)]);
    await waitFor('the SysEx', () =>
      otherTexts(listener.heard()).includes('System exclusive F0 7D 01 02 03 F7')
        ? true
        : undefined,
    );
  });

  test('clock, controllers and song messages pass, in order', async () => {
    const before = otherTexts(listener.heard()).length;
    const keyboard = new Output();
    const inputs = Array.from({ length: keyboard.getPortCount() }, (_, at) =>
      keyboard.getPortName(at),
    );
    keyboard.openPort(inputs.findIndex((name) => name.includes(inputName)));
    const messages: readonly (readonly [bytes: number[], text: string])[] = [
      [[0xfa], 'Start'],
      [[0xf8], 'Clock'],
      [[0xb0, 1, 99], 'Control change 0, controller 1, value 99'],
      [[0xf8], 'Clock'],
      [[0xe3, 0, 96], 'Pitch bend 3, value 4096'],
      [[0xd2, 33], 'Channel aftertouch 2, value 33'],
      [[0xf2, 5, 1], 'Song position pointer value 133'],
      [[0xfe], 'Active Sensing'],
      [[0xfc], 'Stop'],
    ];
    for (const [bytes] of messages) keyboard.sendMessage(bytes);
    await waitFor('all the messages', () =>
      otherTexts(listener.heard()).length >= before + messages.length ? true : undefined,
    );
    keyboard.closePort();
    assert.deepEqual(
      otherTexts(listener.heard()).slice(before),
      messages.map(([, text]) => text),
    );
  });
});

describe('existing ports', () => {
  test('by a part of their names', async () => {
    const listener = await openListeningPort();
    const program = start([
      'play',
      '--plain',
      '--preset',
      firstPreset,
      '--from',
      'through',
      '--to',
      'aseqdump',
    ]);
    await waitFor(`a reader of 'Midi Through'; the program said: ${program.stderr()}`, () =>
      findPort('Midi Through Port-0')?.readers.length ? true : undefined,
    );
    await play(detachedChords(triads), addressOf('Midi Through Port-0')).ended;
    await waitForChords(listener, triads.length);
    await program.end();
    const heard = await listener.stop();
    assert.deepEqual(chordsBetweenSilences(heard), inFirstPreset);
    assert.deepEqual(unbalanced(heard), []);
  });

  test('are listed when a name fits none', async () => {
    const program = start(['play', '--plain', '--from', 'no such port']);
    const { code } = await program.ended();
    assert.ok(code === 1 || code === 2, `exit code ${code}`);
    assert.match(program.stderr(), /no such port/);
    assert.match(program.stderr(), /Midi Through/);
    assert.equal(program.stderr().trim().split('\n').length, 1);
  });

  test('are listed by `handspan ports`', async () => {
    const program = start(['ports']);
    assert.equal((await program.ended()).code, 0);
    assert.match(program.stdout(), /Midi Through/);
  });
});

test('a second instance is refused in one sentence', async () => {
  const first = await startPlaying([]);
  const second = start(['play', '--plain']);
  const { code } = await second.ended();
  await first.end();
  assert.equal(code, 1);
  assert.match(second.stderr(), /Handspan/);
  assert.equal(second.stderr().trim().split('\n').length, 1);
});
