/**
 * `npm run bench [NAME ...]`: measures and prints; asserts nothing. A timed test would fail on a
 * slow day, a ratio in a table is read by somebody who thinks.
 */
import { chartBench } from './chart.ts';
import { choosingBench } from './choosing.ts';
import { engineBench } from './engine.ts';
import { gatheringBench } from './gathering.ts';
import type { Bench } from './measure.ts';
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

const wanted = process.argv.slice(2);
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
  const rows = await bench.run();
  const width = Math.max(...rows.map(([what]) => what.length));
  for (const [what, figures] of rows) process.stdout.write(`  ${what.padEnd(width)}  ${figures}\n`);
}
