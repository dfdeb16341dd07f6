/**
 * The demo set through Handspan among real ALSA clients: aplaymidi plays the tune, feet, keys and
 * program changes ask for another preset on every bar, arecordmidi records what comes out. The
 * recording is compared note by note with what the engine alone makes of the file, and chords with
 * voicings written by hand.
 */
import assert from 'node:assert/strict';
import { cpSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, describe, test } from 'node:test';
import { endChildren } from './children.ts';
import {
  demoPresetFiles,
  demoSetup,
  expectedOf,
  placesOfChord,
  steadyId,
} from './demo-expected.ts';
import { controls, demoChords, demoTune, keyName, setlist, setlistName, zone } from './demo-set.ts';
import { makeHome, presetsTold, start } from './program.ts';
import { performUntilMeant, type Recorded } from './recorded.ts';

/** A home where the player's presets, zone and controls are, and the setlist as the command keeps it. */
async function makeFirstHome(): Promise<string> {
  const home = makeHome(demoPresetFiles());
  writeFileSync(join(home, 'settings.json'), JSON.stringify({ controls, zone }));
  const command = start(['setlists', 'set', setlistName, ...setlist.map(steadyId)], home);
  assert.equal((await command.ended()).code, 0, command.stderr());
  return home;
}

let first: Promise<string> | undefined;

/** The same for each performance: the command runs once, for it takes an emulated machine long. */
async function makeDemoHome(): Promise<string> {
  first ??= makeFirstHome();
  const home = makeHome();
  cpSync(await first, home, { recursive: true });
  return home;
}

for (const switching of ['next-chord', 'at-once'] as const) {
  describe(`the demo set, presets taking hold ${switching}`, () => {
    const expected = expectedOf({ ...demoSetup(), switching }, demoTune());
    const meant = expected.sent.map(({ text }) => text);
    let recorded: Recorded | undefined;

    before(async () => {
      recorded = await performUntilMeant({
        options: ['--json', '--setlist', setlistName, '--key', keyName, '--switching', switching],
        makeHome: makeDemoHome,
        tune: demoTune,
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

    test('each preset takes hold on the bar it was asked for', () => {
      /** Preset of each chord as the program told it. */
      const told = presetsTold(recorded?.printed ?? '');
      const presets = demoChords.map(({ place }) => steadyId(setlist[place] ?? ''));
      // At once, what still sounds is voiced anew as well: a chord more each time.
      const heard = switching === 'at-once' ? told.filter((id, at) => id !== told[at - 1]) : told;
      assert.deepEqual(heard, presets);
    });

    for (const { bar, name, downMs, byHand } of demoChords) {
      if (byHand === undefined) continue;
      test(`bar ${bar}, ${name}: ${byHand.notes} (${byHand.source})`, () => {
        const places = placesOfChord(expected.sent, downMs);
        const notes = places.map((place) => recorded?.events[place]?.replace(/^on (\S+) .*/, '$1'));
        assert.deepEqual(notes, byHand.notes.split(' '));
      });
    }
  });
}
