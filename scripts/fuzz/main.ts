/**
 * `npm run fuzz [MESSAGES] [SEED]`: the long round (default 10 million messages), with the memory in
 * use at each tenth. Exit code 1 when anything hangs, throws or does not match.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fromFileForm } from '../../src/presets/file-form.ts';
import { fuzz } from '../../tests/live/fuzz.ts';

const [messages = 10_000_000, firstSeed = Date.now() % 1_000_000] = process.argv
  .slice(2)
  .map(Number);
const folder = join(process.cwd(), 'presets');
const presets = readdirSync(folder).map((name) =>
  fromFileForm(JSON.parse(readFileSync(join(folder, name), 'utf8')), name.replace('.json', '')),
);
const rounds = 10;
let faults = 0;
for (let round = 0; round < rounds; round += 1) {
  const seed = firstSeed + round;
  try {
    const result = fuzz(seed, Math.ceil(messages / rounds), presets);
    faults += result.stuck + result.unmatched;
    const memory = Math.round(process.memoryUsage().heapUsed / 1e6);
    process.stdout.write(`seed ${seed}: ${JSON.stringify(result)}, ${memory} MB in use\n`);
  } catch (error) {
    faults += 1;
    process.stdout.write(`seed ${seed}: ${error instanceof Error ? error.stack : String(error)}\n`);
  }
}
process.exit(faults === 0 ? 0 : 1);
