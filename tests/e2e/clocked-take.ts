/** A take with the tempo of a MIDI clock, from a real port into a file. */
import assert from 'node:assert/strict';
import { mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { test } from 'node:test';
import { setTimeout as wait } from 'node:timers/promises';
import { parseMidi } from 'midi-file';
import { endChildren } from './children.ts';
import { firstPreset } from './expected.ts';
import { plugIn, unplugAll, waitForListener } from './keyboard.ts';
import { outputName, start } from './program.ts';
import { findPort, waitFor } from './sequencer.ts';

const keysName = 'Stage keys';
const tonic = [60, 64, 67];

test('a take that followed a MIDI clock has its tempo, and the metre that was set', async (context) => {
  context.after(async () => {
    unplugAll();
    await endChildren();
  });
  const file = join(mkdtempSync(join(tmpdir(), 'handspan-take-')), 'take.mid');
  const keys = plugIn(keysName);
  const options = ['--preset', firstPreset, '--from', keysName, '--record', file, '--metre', '3/4'];
  const program = start(['play', '--plain', ...options]);
  await waitForListener(keysName);
  await waitFor('the output', () => findPort(outputName));
  const bpm = 90;
  keys.send([0xfa]);
  const began = performance.now();
  for (let clock = 0; clock < 4 * 24; clock += 1) {
    await wait(Math.max(0, began + (clock * 60_000) / bpm / 24 - performance.now()));
    keys.send([0xf8]);
    if (clock === 24) keys.press(...tonic);
    if (clock === 48) keys.lift(...tonic);
  }
  const { code } = await program.end();
  assert.equal(code, 0, program.stderr());
  const [first = [], played = []] = parseMidi(readFileSync(file)).tracks;
  assert.ok(first.some((event) => event.type === 'setTempo'));
  const metre = first.find((event) => event.type === 'timeSignature');
  assert.deepEqual([metre?.numerator, metre?.denominator], [3, 4]);
  // The chord was held for one quarter note of the clock, and so it is in the file. The clock of
  // this test is a timer on an emulated machine, now late and now in a hurry: near is enough to tell
  // it from a take without a clock. How exactly one is followed, the tempo's own tests say.
  let tick = 0;
  const placed = played.map((event) => {
    tick += event.deltaTime;
    return { type: event.type, tick };
  });
  const tickOf = (type: string) => placed.find((event) => event.type === type)?.tick ?? Number.NaN;
  const quarters = (tickOf('noteOff') - tickOf('noteOn')) / 480;
  assert.ok(Math.abs(quarters - 1) < 0.25, `the chord lasts ${quarters} quarter notes`);
});
