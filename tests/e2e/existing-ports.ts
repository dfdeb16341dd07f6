/**
 * Ports that exist already, as a keyboard and an instrument on cables: chosen by a part of their
 * names, pulled and plugged in again, left by a hang-up; and what is said of names that fit none.
 */
import assert from 'node:assert/strict';
import { after, afterEach, before, describe, test } from 'node:test';
import { type Listener, openListeningPort } from './capture.ts';
import { endChildren } from './children.ts';
import { endsSilent } from './ends-silent.ts';
import { firstPreset, inFirstPreset, triads } from './expected.ts';
import { type Keyboard, plugIn, unplugAll, waitForListener } from './keyboard.ts';
import { detachedChords, play } from './performance.ts';
import { addressOf, type Program, start, waitForPortWord } from './program.ts';
import { findPort, waitFor } from './sequencer.ts';
import {
  chordsBetweenSilences,
  notesOf,
  soundingNow,
  unbalanced,
  waitForSound,
} from './sounding.ts';

const through = 'Midi Through Port-0';
const keysName = 'Stage keys';
const tonic = [60, 64, 67];

/** One session, in this order: a start takes an emulated machine the longest of all. */
describe('existing ports', () => {
  let keys: Keyboard;
  let program: Program;
  let listener: Listener;

  before(async () => {
    keys = plugIn(keysName);
    listener = await openListeningPort();
    const ports = ['--from', 'through', '--from', 'stage key', '--to', 'aseqdump'];
    program = start(['play', '--plain', '--preset', firstPreset, ...ports]);
    for (const name of [through, keysName]) await waitForListener(name);
  });

  after(async () => {
    unplugAll();
    await endChildren();
  });

  test('by a part of their names', async () => {
    await play(detachedChords(triads), addressOf(through)).ended;
    await waitFor('the chords', () =>
      chordsBetweenSilences(listener.heard()).length >= triads.length ? true : undefined,
    );
    assert.deepEqual(chordsBetweenSilences(listener.heard()), inFirstPreset);
  });

  test('an output vanishes under a held chord and returns: told to be silent, then played', async () => {
    keys.press(...tonic);
    await waitForSound(listener, inFirstPreset[0]?.length ?? 0);
    const held = soundingNow(listener);
    await listener.stop();
    await waitFor("the end of 'aseqdump'", () => (findPort('aseqdump') ? undefined : true));
    keys.lift(...tonic);
    await waitForPortWord(program, ['output', 'aseqdump', 'gone']);
    listener = await openListeningPort();
    await waitFor('All Notes Off at the output that is back', () =>
      listener.heard().some((event) => event.kind === 'other' && /controller 123/.test(event.text))
        ? true
        : undefined,
    );
    const offs = notesOf(listener.heard()).filter(({ kind }) => kind === 'noteOff');
    assert.deepEqual(
      offs.map(({ channel, note }) => `${channel}/${note}`).sort(),
      [...held].sort(),
    );
    const heardBefore = listener.heard().length;
    keys.press(...tonic);
    await waitFor('the chord', () => {
      const heard = notesOf(listener.heard().slice(heardBefore));
      return heard.filter(({ kind }) => kind === 'noteOn').length > tonic.length ? true : undefined;
    });
    keys.lift(...tonic);
    await waitForPortWord(program, ['output', 'aseqdump', 'back']);
    await waitFor('the end of the chord', () =>
      unbalanced(listener.heard().slice(heardBefore)).length === 0 ? true : undefined,
    );
  });

  test('SIGHUP under held notes leaves nothing sounding', () =>
    endsSilent(program, listener, 'SIGHUP', { input: through, from: listener.heard().length }));
});

describe('existing ports by name', () => {
  afterEach(endChildren);

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
