/**
 * A process of its own around the engine host, told by its arguments what to do, for tests that end
 * it in every way: `host-process.mjs WORKER-FILE JSON-OPTIONS`. Prints `open` when it is; `off`,
 * the worker's own word that every note is off, is read from the shared flag after each end.
 */
import { startEngine } from '../../src/io/engine/engine-host.ts';
import type { PortWishes } from '../../src/io/engine/worker-messages.ts';
import { echoSetup } from './echo-engine.ts';

const [workerFile = '', json = '{}'] = process.argv.slice(2);
const options: {
  ports?: PortWishes;
  chord?: number[];
  /** Milliseconds until the chord is played, for whoever wants to connect first. */
  delay?: number;
  end?: 'exit' | 'throw' | 'close' | 'wait' | 'fault';
} = JSON.parse(json);
const say = (line: string) => process.stdout.write(`${line}\n`);

const result = await startEngine({
  setup: echoSetup,
  ports: options.ports,
  workerFile,
  isRecording: true,
  onTake: (events) => {
    for (const event of events) say(`${event.direction} ${event.bytes.join(' ')}`);
  },
  onStopped: (problem) => say(`stopped: ${problem}`),
});
if (!result.ok) {
  say(`${result.reason}: ${result.problem}`);
  process.exit(1);
}
const host = result.value;
say('open');
process.on('SIGTERM', async () => {
  await host.close();
  say('closed');
  process.exit(0);
});
setTimeout(() => {
  for (const note of options.chord ?? []) host.play([0x90, note, 100]);
  // Long enough for the worker to have sent the chord before the end comes.
  setTimeout(end, 300);
}, options.delay ?? 50);

async function end() {
  if (options.end === 'exit') process.exit(3);
  if (options.end === 'throw') throw new Error('a fault on the main thread');
  if (options.end === 'fault') host.play([0xb0, 3, 0]);
  if (options.end === 'close') {
    await host.close();
    say('closed');
  }
}
