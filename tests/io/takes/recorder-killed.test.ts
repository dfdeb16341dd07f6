import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readTakes, recoverTakes } from '../../../src/io/takes/take-store.ts';
import { bundle } from '../../helpers/bundle.ts';

const home = mkdtempSync(join(tmpdir(), 'killed-'));
let program = '';
let worker = '';
beforeAll(() => {
  program = bundle('tests/helpers/recording-process.ts', 'recording-process');
  worker = bundle('tests/helpers/echo-worker.ts', 'echo-worker');
});
afterAll(() => rmSync(home, { recursive: true, force: true }));

/** Messages in the last second of a process that plays one every five milliseconds. */
const oneSecond = 200;

/** Plays until so many messages are told of, then dies as by a power cut; returns how many. */
async function playAndKill(folder: string, least: number): Promise<number> {
  const child = spawn(process.execPath, [program, worker, folder]);
  let told = 0;
  let rest = '';
  child.stdout.on('data', (chunk: Buffer) => {
    const lines = (rest + chunk.toString()).split('\n');
    rest = lines.pop() ?? '';
    told = Number(lines.at(-1) ?? told);
    if (told >= least) child.kill('SIGKILL');
  });
  await once(child, 'close');
  return told;
}

/** Five times, or as often as asked: HANDSPAN_KILLS=50 for the long round. */
const kills = Number(process.env['HANDSPAN_KILLS'] ?? 5);
const leasts = Array.from({ length: kills }, (_, place) => 40 + Math.round((place * 580) / kills));
let mostLost = 0;
afterAll(() => {
  process.stdout.write(
    `killed ${kills} times, at most ${mostLost} messages of ${oneSecond} lost\n`,
  );
});

test.each(leasts)(
  'killed after %i messages, a take lacks the last second at most',
  async (least) => {
    const folder = join(home, String(least));
    const told = await playAndKill(folder, least);
    const [take] = readTakes(folder).takes;
    const kept = take?.journal.events.filter(({ direction }) => direction === 'played').length ?? 0;
    mostLost = Math.max(mostLost, told - kept);
    expect(told - kept).toBeLessThan(oneSecond);
    expect(kept).toBeGreaterThan(0);
    // And what is always kept comes back as well.
    const [name] = recoverTakes(
      folder,
      () => false,
      () => 'recovered',
    );
    expect(name).toBe('recovered');
    const recovered = readTakes(folder).takes.find((each) => each.name === name)?.journal;
    expect(recovered?.events.length).toBe(take?.journal.events.length);
  },
  30_000,
);
