/**
 * One minute of two-handed playing among real ALSA clients: aplaymidi plays melody, chords, walking
 * bass and pedal, arecordmidi records what comes out. The recording is compared note by note with what
 * the engine alone makes of the file at the file's own times.
 */
import assert from 'node:assert/strict';
import { after, before, describe, test } from 'node:test';
import { endChildren } from './children.ts';
import { expectedOf, steadyFile, steadyPreset } from './demo-expected.ts';
import { makeHome } from './program.ts';
import { performUntilMeant, type Recorded } from './recorded.ts';
import { keyName, presetFrom, twoHandsTune } from './two-hands-tune.ts';

const presetId = 'two-hands';

describe('one minute for two hands', () => {
  const setup = { preset: steadyPreset(presetFrom, presetId), key: keyName };
  const meant = expectedOf(setup, twoHandsTune()).sent.map(({ text }) => text);
  let recorded: Recorded | undefined;

  before(async () => {
    recorded = await performUntilMeant({
      options: ['--preset', presetId, '--key', keyName],
      makeHome: () => makeHome({ [`${presetId}.json`]: JSON.stringify(steadyFile(presetFrom)) }),
      tune: twoHandsTune,
      meant,
    });
  });

  after(endChildren);

  test('the recording has every note and pedal that was meant, in order', () => {
    assert.deepEqual(recorded?.events, meant);
  });

  test('nothing goes on sounding', () => {
    assert.deepEqual(recorded?.hanging, []);
  });
});
