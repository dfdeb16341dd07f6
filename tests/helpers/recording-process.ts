/**
 * A process that records what it plays to itself: a note every five milliseconds, each told of on
 * stdout at once, so that whoever kills it knows what it had played: `recording-process.mjs
 * WORKER-FILE FOLDER`.
 */
import { writeSync } from 'node:fs';
import { startEngine } from '../../src/io/engine/engine-host.ts';
import { Recorder } from '../../src/io/takes/recorder.ts';
import { echoSetup } from './echo-engine.ts';

const [workerFile = '', folder = ''] = process.argv.slice(2);
const recorder = new Recorder({
  folder,
  now: () => new Date(),
  describe: () => ({ preset: 'octave', key: '' }),
  pid: process.pid,
});
const result = await startEngine({
  setup: echoSetup,
  workerFile,
  isRecording: true,
  onTake: (events) => recorder.events(events),
});
if (!result.ok) throw new Error(result.problem);
const host = result.value;
recorder.start();
let played = 0;
setInterval(() => {
  host.play([played % 2 === 0 ? 0x90 : 0x80, 60, 64]);
  played += 1;
  writeSync(1, `${played}\n`);
}, 5);
