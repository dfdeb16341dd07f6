/**
 * Handspan among real ALSA clients: aplaymidi plays, aseqdump and arecordmidi listen. Needs a
 * sequencer; scripts/alsa-rig provides one where the machine has none. Node's own test runner
 * reports and counts.
 */
import assert from 'node:assert/strict';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, describe, test } from 'node:test';
import { Output } from '@julusian/midi/lazy';
import type { MidiEvent } from 'midi-file';
import { type HeardEvent, type Listener, listenTo, record } from './capture.ts';
import { endChildren } from './children.ts';
import { endsSilent } from './ends-silent.ts';
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
import {
  addressOf,
  inputName,
  makeHome,
  outputName,
  type Program,
  start,
  startPlaying,
} from './program.ts';
import { waitFor } from './sequencer.ts';
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

/** The note-ons and note-offs of a recorded file in order: 'on 0/60', channel and note. */
function notesInFile(events: readonly MidiEvent[]): readonly string[] {
  return events.flatMap((event) => {
    if (event.type !== 'noteOn' && event.type !== 'noteOff') return [];
    const isOn = event.type === 'noteOn' && event.velocity > 0;
    return [`${isOn ? 'on' : 'off'} ${event.channel}/${event.noteNumber}`];
  });
}

/** The same of what was heard. */
function notesAsText(heard: readonly HeardEvent[]): readonly string[] {
  return notesOf(heard).map(
    ({ kind, channel, note }) => `${kind === 'noteOn' ? 'on' : 'off'} ${channel}/${note}`,
  );
}

/** A start takes an emulated machine the longest of all: a session serves several tests, in order. */
describe('a session', () => {
  let program: Program;
  let listener: Listener;
  /** Of the first performance of the triads. */
  let heard: readonly HeardEvent[] = [];
  let lines: readonly string[] = [];
  /** Of both. */
  let recorded: readonly MidiEvent[] = [];
  let heardOfBoth: readonly HeardEvent[] = [];

  before(async () => {
    const home = makeHome();
    const settings = { setlists: { Both: [firstPreset, secondPreset] } };
    writeFileSync(join(home, 'settings.json'), JSON.stringify(settings));
    program = await startPlaying(['--setlist', 'Both', '--program-change'], home);
    const recorder = await record(outputName);
    listener = await listenTo(outputName);
    await perform(detachedChords(triads));
    await waitForChords(listener, triads.length);
    heard = listener.heard();
    // An order that is obeyed is not answered; one that is not understood is, after those before it.
    program.type(`preset ${secondPreset}`);
    program.type('no-such-order');
    await waitFor('an answer to the typed lines', () =>
      program.stderr().includes('no-such-order') ? true : undefined,
    );
    await perform(detachedChords(triads));
    await waitForChords(listener, 2 * triads.length);
    heardOfBoth = listener.heard();
    lines = program.stdout().split('\n');
    recorded = await recorder.stop();
  });

  after(endChildren);

  test('a file of triads comes out in the exact voicings', () => {
    assert.deepEqual(chordsBetweenSilences(heard), inFirstPreset);
  });

  test('as fourths over the root', () => {
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
    assert.deepEqual(notesInFile(recorded), notesAsText(heardOfBoth));
  });

  test('velocity follows the player', () => {
    const velocities = notesOf(heard).filter(({ kind }) => kind === 'noteOn');
    for (const { velocity: sent } of velocities) assert.ok(Math.abs(sent - velocity) <= 16);
  });

  test('is told one line a chord', () => {
    assert.equal(lines.filter((line) => line.includes(firstPreset)).length, triads.length);
  });

  test('another preset by a typed line takes effect', () => {
    // By its definition, the held notes in close position over the root: which position, depends on
    // whether a slow machine made a rest before it. A program change within a file makes none.
    const tonesOf = (notes: readonly number[]) =>
      [...new Set(notes.map((note) => note % 12))].sort((one, other) => one - other);
    const chords = chordsBetweenSilences(heardOfBoth).slice(triads.length);
    assert.deepEqual(
      chords.map(([bass = 0, ...upper]) => ({
        root: bass % 12,
        tones: tonesOf(upper),
        isClose: (upper.at(-1) ?? 0) - (upper[0] ?? 0) < 12,
      })),
      triads.map((notes, place) => ({ root: roots[place], tones: tonesOf(notes), isClose: true })),
    );
    assert.deepEqual(unbalanced(heardOfBoth), []);
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
    const heardBefore = otherTexts(listener.heard()).length;
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
      otherTexts(listener.heard()).length >= heardBefore + messages.length ? true : undefined,
    );
    keyboard.closePort();
    assert.deepEqual(
      otherTexts(listener.heard()).slice(heardBefore),
      messages.map(([, text]) => text),
    );
  });

  test('a fast passage, every chord bound to the next, loses no note-off', async () => {
    const heardBefore = listener.heard().length;
    const heardSince = () => listener.heard().slice(heardBefore);
    const recorder = await record(outputName);
    const passage = Array.from({ length: 60 }, (_, index) => {
      // Triads up the whole-tone scale and down again; each goes down before the last one is up.
      const root = 55 + 2 * Math.abs((index % 12) - 6);
      return chord([root, root + 4, root + 7], index * 100, index * 100 + 130);
    });
    await perform(passage.flat());
    // A machine that is late makes silences within the passage, too: the last is the one that stays.
    let [heardSoFar, heardAt] = [-1, 0];
    await waitFor('silence at the end', () => {
      const count = notesOf(heardSince()).length;
      if (count !== heardSoFar) [heardSoFar, heardAt] = [count, Date.now()];
      const isSilent = count > 60 && unbalanced(heardSince()).length === 0;
      return isSilent && Date.now() - heardAt > 1000 ? true : undefined;
    });
    assert.deepEqual(notesInFile(await recorder.stop()), notesAsText(heardSince()));
  });

  test('a second instance is refused in one sentence', async () => {
    const second = start(['play', '--plain']);
    const { code } = await second.ended();
    assert.equal(code, 1);
    assert.match(second.stderr(), /Handspan/);
    assert.equal(second.stderr().trim().split('\n').length, 1);
  });

  test('a program change in the middle of a file takes effect', async () => {
    // Program numbers count the presets on stage: those of the setlist.
    const [first, second] = [0, 1];
    const begin = 500;
    const middle = begin + triads.length * 500;
    const heardBefore = listener.heard().length;
    const heardSince = () => listener.heard().slice(heardBefore);
    await perform([
      programChange(first, 0),
      ...detachedChords(triads, begin),
      programChange(second, middle - 100),
      ...detachedChords(triads, middle),
    ]);
    await waitFor(`the chords; heard ${JSON.stringify(heardSince())}`, () =>
      chordsBetweenSilences(heardSince()).length >= 2 * triads.length ? true : undefined,
    );
    assert.deepEqual(chordsBetweenSilences(heardSince()), [...inFirstPreset, ...inSecondPreset]);
    assert.deepEqual(unbalanced(heardSince()), []);
  });

  test('SIGTERM under held notes leaves nothing sounding', () =>
    endsSilent(program, listener, 'SIGTERM'));
});
