/**
 * Handspan's own ports, connected by hand as most people do, and what becomes of a chord when the
 * other side is gone without a word, or Handspan stands still. Nobody sends a note-off then.
 */
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { after, before, describe, test } from 'node:test';
import { setTimeout as wait } from 'node:timers/promises';
import { type Listener, listenTo } from './capture.ts';
import { endChildren } from './children.ts';
import { firstPreset, inFirstPreset, triads } from './expected.ts';
import { plugIn, unplugAll, waitForListener } from './keyboard.ts';
import { chord, detachedChords, play } from './performance.ts';
import { addressOf, inputName, outputName, type Program, startPlaying } from './program.ts';
import { waitFor } from './sequencer.ts';
import {
  chordsBetweenSilences,
  notesOf,
  soundingNow,
  unbalanced,
  waitForSound,
} from './sounding.ts';

const tonic = [60, 64, 67];
const tonicSounds = inFirstPreset[0] ?? [];

/** A connection is missed only once it was seen: two looks a second, on a machine ten times too slow. */
const nextLook = () => wait(3_000);

function waitForWord(program: Program, word: string): Promise<true> {
  return waitFor(`'${word}'; told was ${program.stderr()}`, () =>
    program.stderr().includes(word) ? true : undefined,
  );
}

/** One session, in this order: a start takes an emulated machine the longest of all. */
describe('connections of our own ports', () => {
  let program: Program;
  let listener: Listener;

  before(async () => {
    program = await startPlaying(['--preset', firstPreset]);
    listener = await listenTo(outputName);
  });

  after(async () => {
    unplugAll();
    await endChildren();
  });

  test('the keyboard is killed under a held chord: released; another one plays', async () => {
    const player = play(chord(tonic, 0, 600_000), addressOf(inputName));
    await waitForSound(listener, tonicSounds.length);
    await nextLook();
    await player.abandon();
    await waitForSound(listener, 0);
    await waitForWord(program, `Nobody plays into "${inputName}" any more`);
    await play(detachedChords([tonic]), addressOf(inputName)).ended;
    await waitFor('the chord of the other keyboard', () =>
      chordsBetweenSilences(listener.heard()).length === 2 ? true : undefined,
    );
    assert.deepEqual(chordsBetweenSilences(listener.heard()), [tonicSounds, tonicSounds]);
    assert.deepEqual(unbalanced(listener.heard()), []);
  });

  test('the connection is taken away under a held chord and made again: play goes on', async () => {
    const name = 'Stage keys';
    const keys = plugIn(name);
    const wire = [addressOf(name), addressOf(inputName)];
    execFileSync('aconnect', wire);
    await waitForListener(name);
    keys.press(...tonic);
    await waitForSound(listener, tonicSounds.length);
    await nextLook();
    execFileSync('aconnect', ['-d', ...wire]);
    await waitForSound(listener, 0);
    execFileSync('aconnect', wire);
    keys.lift(...tonic);
    keys.press(...tonic);
    await waitForSound(listener, tonicSounds.length);
    keys.lift(...tonic);
    await waitForSound(listener, 0);
    assert.deepEqual(unbalanced(listener.heard()), []);
  });

  test('SIGSTOP under held notes, played on meanwhile, SIGCONT: nothing hangs', async () => {
    const chordsBefore = chordsBetweenSilences(listener.heard()).length;
    const waitForChords = (count: number) =>
      waitFor(`${count} chords`, () =>
        chordsBetweenSilences(listener.heard()).length === chordsBefore + count ? true : undefined,
      );
    const held = play(chord(tonic, 0, 1_000), addressOf(inputName));
    await waitForSound(listener, tonicSounds.length);
    program.signal('SIGSTOP');
    await held.ended;
    await play(detachedChords(triads), addressOf(inputName)).ended;
    assert.equal(soundingNow(listener).length, tonicSounds.length);
    program.signal('SIGCONT');
    await waitForSound(listener, 0);
    // Late, but each chord is heard as itself.
    await waitForChords(triads.length + 1);
    await play(detachedChords(triads), addressOf(inputName)).ended;
    await waitForChords(2 * triads.length + 1);
    await waitForSound(listener, 0);
    assert.deepEqual(unbalanced(listener.heard()), []);
  });

  test('nobody listens any more: told', async () => {
    const player = play(chord(tonic, 0, 6_000), addressOf(inputName));
    await waitForSound(listener, tonicSounds.length);
    await nextLook();
    await listener.stop();
    await waitForWord(program, `Nobody listens to "${outputName}" any more`);
    await player.ended;
  });

  test('a listener of the printed lines that goes away leaves nothing sounding', async () => {
    listener = await listenTo(outputName);
    // What the last chord still has to be ended was heard by nobody, or has come by now.
    await nextLook();
    const from = listener.heard().length;
    program.closeStdout();
    // The line of this chord can no longer be written: the program ends under held notes.
    const player = play(chord(tonic, 0, 600_000), addressOf(inputName));
    await program.ended();
    await player.abandon();
    const heard = (await listener.stop()).slice(from);
    assert.ok(notesOf(heard).length > 0);
    assert.deepEqual(unbalanced(heard), []);
  });
});
