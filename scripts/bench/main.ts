/**
 * `npm run bench [NAME ...]`: measures and prints; asserts nothing. A timed test would fail on a
 * slow day, a ratio in a table is read by somebody who thinks.
 */
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import { collectSeldom } from '../../src/io/engine/new-space.ts';
import { chartBench } from './chart.ts';
import { choosingBench } from './choosing.ts';
import { engineBench } from './engine.ts';
import { gatheringBench } from './gathering.ts';
import type { Bench, Row } from './measure.ts';
import { playingBench } from './playing.ts';
import { recognitionBench } from './recognition.ts';
import { revoiceBench } from './revoice.ts';
import { screenBench } from './screen.ts';
import { soundBench } from './sound.ts';
import { startUpBench } from './start-up.ts';
import { tuneBench } from './tune.ts';
import { voicingBench } from './voicing.ts';

const benches: { readonly [name: string]: Bench } = {
  // First, while nothing else has been compiled for other shapes of data: it measures nanoseconds.
  recognition: recognitionBench,
  chart: chartBench,
  choosing: choosingBench,
  engine: engineBench,
  gathering: gatheringBench,
  playing: playingBench,
  revoice: revoiceBench,
  screen: screenBench,
  sound: soundBench,
  'start-up': startUpBench,
  tune: tuneBench,
  voicing: voicingBench,
};

if (isMainThread) await report(process.argv.slice(2));
else parentPort?.postMessage(await benches[workerData]?.run());

async function report(wanted: readonly string[]): Promise<void> {
  const unknown = wanted.find((name) => benches[name] === undefined);
  if (unknown !== undefined) {
    process.stderr.write(
      `bench: there is no '${unknown}'; there are ${Object.keys(benches).join(', ')}.\n`,
    );
    process.exit(2);
  }
  for (const [name, bench] of Object.entries(benches)) {
    if (wanted.length > 0 && !wanted.includes(name)) continue;
    process.stdout.write(`\n${bench.title}\n`);
    const rows = bench.isOnEngineThread === true ? await rowsOfThread(name) : await bench.run();
    const width = Math.max(...rows.map(([what]) => what.length));
    for (const [what, figures] of rows) {
      process.stdout.write(`  ${what.padEnd(width)}  ${figures}\n`);
    }
  }
}

/** What it measures on a thread like the one that plays. */
function rowsOfThread(name: string): Promise<readonly Row[]> {
  collectSeldom();
  const worker = new Worker(new URL(import.meta.url), { workerData: name });
  return new Promise((resolve, reject) => {
    worker.once('message', resolve);
    worker.once('error', reject);
  });
}
