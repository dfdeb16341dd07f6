/** The thread that is started before its work is known, with the built worker as `npm test` makes it. */
import { spawnSync } from 'node:child_process';
import { existsSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { startEngine } from '../../../src/io/engine/engine-host.ts';
import { startThreadAhead, takeThread } from '../../../src/io/engine/engine-thread.ts';
import type { TakeEvent } from '../../../src/io/engine/stage-state.ts';
import { bundle } from '../../helpers/bundle.ts';
import { plainPreset } from '../../live/play.ts';

const noPorts = { inputs: [], isVirtualPossible: true };
const virtualPorts = { isVirtualInput: true, isVirtualOutput: true, from: [], to: [] };

test('a start takes the thread that is there, and the next start the same again', async () => {
  startThreadAhead();
  for (let start = 0; start < 2; start += 1) {
    const events: TakeEvent[] = [];
    const started = await startEngine({
      setup: { preset: plainPreset },
      isRecording: true,
      onTake: (batch) => events.push(...batch),
    });
    if (!started.ok) throw new Error(started.problem);
    started.value.play([0x90, 60, 100, 0x90, 64, 100, 0x90, 67, 100]);
    await started.value.close();
    const sounded = events.filter(({ direction }) => direction === 'sounded');
    const [ons, offs] = [0x90, 0x80].map(
      (status) => sounded.filter(({ bytes }) => bytes[0] === status).length,
    );
    expect(ons).toBeGreaterThanOrEqual(3);
    expect(offs).toBe(ons);
  }
});

test('ports are opened and listed in one thread from the first start to the last', async () => {
  const workerFile = bundle('tests/helpers/one-thread-worker.ts', 'one-thread-worker');
  const setup = { preset: plainPreset };
  const seen: unknown[] = [];
  for (const ports of [undefined, virtualPorts, { ...virtualPorts, from: ['no such port'] }]) {
    const started = await startEngine({ setup, ports, workerFile });
    if (!started.ok) {
      seen.push(started.reason);
      continue;
    }
    seen.push(await started.value.listPorts());
    const late = started.value.listPorts();
    await started.value.close();
    expect(typeof (await started.value.listPorts())).toBe('string');
    expect(await late).toEqual(seen.at(-1));
  }
  const again = await startEngine({ setup, workerFile });
  if (!again.ok) throw new Error(again.problem);
  seen.push(await again.value.listPorts());
  await again.value.close();
  const names = (system: number) => ({ ...noPorts, outputs: [`system ${system} of this thread`] });
  expect(seen).toEqual([names(1), names(2), 'ports', names(4)]);
});

test('its short-lived objects are collected once in many chords', async () => {
  const file = join(tmpdir(), `handspan-new-space-${process.pid}.mjs`);
  writeFileSync(
    file,
    `import { parentPort } from 'node:worker_threads';
    import { getHeapSpaceStatistics } from 'node:v8';
    const { space_used_size, space_available_size } = getHeapSpaceStatistics().find(
      ({ space_name }) => space_name === 'new_space',
    );
    parentPort.postMessage(space_used_size + space_available_size);`,
  );
  const worker = takeThread(file);
  const bytes = await new Promise<number>((resolve) => worker.once('message', resolve));
  rmSync(file);
  expect(bytes).toBeGreaterThan(15e6);
});

test('one is taken once', async () => {
  startThreadAhead();
  const [one, other] = [takeThread(undefined), takeThread(undefined)];
  expect(one).not.toBe(other);
  await Promise.all([one.terminate(), other.terminate()]);
});

test('one that nobody takes keeps no process alive', () => {
  const module = bundle('src/io/engine/engine-thread.ts', 'engine-thread');
  const worker = bundle('tests/helpers/echo-worker.ts', 'echo-worker-ahead');
  const script = join(module, '..', 'thread-ahead.mjs');
  writeFileSync(
    script,
    `import { startThreadAhead, takeThread } from ${JSON.stringify(module)};
startThreadAhead(${JSON.stringify(worker)});
if (process.argv[2] === 'take') takeThread(${JSON.stringify(worker)});
`,
  );
  const run = (...args: string[]) => {
    const timeout = args.length === 0 ? 20_000 : 1_500;
    const { status, signal } = spawnSync(process.execPath, [script, ...args], { timeout });
    return [status, signal];
  };
  expect(run()).toEqual([0, null]);
  // The same thread, taken, does: the process has to be ended.
  expect(run('take')).toEqual([null, 'SIGTERM']);
}, 30_000);

test('an exit waits until the thread has loaded what it imports', () => {
  const module = bundle('src/io/engine/engine-thread.ts', 'engine-thread');
  const folder = join(module, '..');
  const [script, worker, mark] = ['exit-ahead.mjs', 'slow-worker.mjs', 'slow-worker-loaded'].map(
    (name) => join(folder, name),
  ) as [string, string, string];
  // In place of a binding that takes its time; stopped in the middle, it would leave no mark.
  writeFileSync(
    worker,
    `import { writeFileSync } from 'node:fs';
import { workerData } from 'node:worker_threads';
const flag = new Int32Array(workerData.loaded);
Atomics.wait(flag, 0, 0, 500);
writeFileSync(${JSON.stringify(mark)}, '');
Atomics.store(flag, 0, 1);
Atomics.notify(flag, 0);
`,
  );
  writeFileSync(
    script,
    `import { startThreadAhead } from ${JSON.stringify(module)};
startThreadAhead(${JSON.stringify(worker)});
process.exit(2);
`,
  );
  rmSync(mark, { force: true });
  const { status, signal, stderr } = spawnSync(process.execPath, [script], { encoding: 'utf8' });
  expect([status, signal, stderr]).toEqual([2, null, '']);
  expect(existsSync(mark)).toBe(true);
}, 30_000);
