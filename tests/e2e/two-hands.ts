/**
 * One minute of two-handed playing among real ALSA clients: aplaymidi plays melody, chords, walking
 * bass and pedal, arecordmidi records what comes out. The recording is compared note by note with what
 * the engine alone makes of the file at the file's own times.
 */
import assert from 'node:assert/strict';
import { after, before, describe, test } from 'node:test';
import { isDeepStrictEqual } from 'node:util';
import { listenTo, record } from './capture.ts';
import { endChildren } from './children.ts';
import { eventAsText, expectedOf, steadyFile, steadyPreset } from './demo-expected.ts';
import { play } from './performance.ts';
import { addressOf, inputName, makeHome, outputName, startPlaying } from './program.ts';
import { waitFor } from './sequencer.ts';
import { notesOf, unbalanced } from './sounding.ts';
import { keyName, presetFrom, twoHandsTune } from './two-hands-tune.ts';

const mostPerformances = 3;
const presetId = 'two-hands';
const isSounded = (text: string) => /^(on|off|control) /.test(text);

describe('one minute for two hands', () => {
  const setup = { preset: steadyPreset(presetFrom, presetId), key: keyName };
  const meant = expectedOf(setup, twoHandsTune()).sent.map(({ text }) => text);
  let recorded: readonly string[] = [];
  let hanging: readonly string[] = [];

  const perform = async () => {
    const home = makeHome({ [`${presetId}.json`]: JSON.stringify(steadyFile(presetFrom)) });
    const program = await startPlaying(['--preset', presetId, '--key', keyName], home);
    const recorder = await record(outputName);
    const listener = await listenTo(outputName);
    const notes = meant.filter((text) => /^(on|off) /.test(text)).length;
    await play(twoHandsTune(), addressOf(inputName)).ended;
    // Fewer may come where the machine was late: the recording tells.
    await waitFor(`${notes} note-ons and note-offs`, () =>
      notesOf(listener.heard()).length >= notes ? true : undefined,
    ).catch(() => {});
    recorded = (await recorder.stop()).map(eventAsText).filter(isSounded);
    hanging = [...hanging, ...unbalanced(await listener.stop())];
    const { code } = await program.end();
    assert.equal(code, 0, program.stderr());
  };

  // As with the demo set: a virtual machine that stalls plays another tune than was meant.
  before(async () => {
    for (let performances = 1; performances <= mostPerformances; performances += 1) {
      await perform();
      await endChildren();
      if (isDeepStrictEqual(recorded, meant)) return;
      process.stdout.write(`# performance ${performances} did not come out as meant\n`);
    }
  });

  after(endChildren);

  test('the recording has every note and pedal that was meant, in order', () => {
    assert.deepEqual(recorded, meant);
  });

  test('nothing goes on sounding', () => {
    assert.deepEqual(hanging, []);
  });
});
