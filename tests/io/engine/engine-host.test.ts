/** The host and a real worker thread, in rehearsal, which needs no MIDI system. */
import { spawnSync } from 'node:child_process';
import { beforeAll, expect, onTestFinished, test, vi } from 'vitest';
import { startEngine } from '../../../src/io/engine/engine-host.ts';
import type { StageState, TakeEvent } from '../../../src/io/engine/stage-state.ts';
import { bundle } from '../../helpers/bundle.ts';
import { delayedSetup, echoSetup } from '../../helpers/echo-engine.ts';

let workerFile = '';
let hostFile = '';
beforeAll(() => {
  workerFile = bundle('tests/helpers/echo-worker.ts', 'echo-worker');
  hostFile = bundle('tests/helpers/host-process.ts', 'host-process');
});

test('plays, changes, closes; every note off, and the take complete, before close resolves', async () => {
  const states: StageState[] = [];
  const events: TakeEvent[] = [];
  const started = await startEngine({
    setup: echoSetup,
    workerFile,
    isRecording: true,
    onState: (state) => states.push(state),
    onTake: (batch) => events.push(...batch),
  });
  if (!started.ok) throw new Error(started.problem);
  const host = started.value;
  expect(host.firstState).toMatchObject({ ports: [], notice: '', snapshot: { preset: 'octave' } });
  host.play([0x90, 60, 100]);
  host.change(delayedSetup);
  await host.close();
  await host.close();
  host.closeNow();
  expect(events.map(({ direction, bytes }) => [direction, ...bytes])).toEqual([
    ['played', 0x90, 60, 100],
    ['sounded', 0x90, 60, 100],
    ['sounded', 0x90, 72, 100],
    ['sounded', 0x80, 60, 64],
    ['sounded', 0x80, 72, 64],
  ]);
  expect(states.at(-1)?.snapshot.preset).toBe('late');
});

test('closeNow returns with the worker silent', async () => {
  const events: TakeEvent[] = [];
  const started = await startEngine({
    setup: echoSetup,
    workerFile,
    isRecording: true,
    onTake: (batch) => events.push(...batch),
  });
  if (!started.ok) throw new Error(started.problem);
  const wait = vi.spyOn(Atomics, 'wait');
  onTestFinished(() => wait.mockRestore());
  started.value.play([0x90, 60, 100]);
  started.value.closeNow();
  // The worker raises the flag behind its last note-off, and that ended the waiting, not the clock.
  const [flag] = wait.mock.calls[0] ?? [];
  expect(flag?.[0]).toBe(1);
  expect(wait.mock.results[0]?.value).not.toBe('timed-out');
  await started.value.close();
  expect(events.map(({ direction, bytes }) => [direction, ...bytes])).toEqual([
    ['played', 0x90, 60, 100],
    ['sounded', 0x90, 60, 100],
    ['sounded', 0x90, 72, 100],
    ['sounded', 0x80, 60, 64],
    ['sounded', 0x80, 72, 64],
  ]);
});

test('a worker that dies says so, with its notes off', async () => {
  const events: TakeEvent[] = [];
  const problem = await new Promise<string>((onStopped, fail) => {
    startEngine({
      setup: echoSetup,
      workerFile,
      isRecording: true,
      onStopped,
      onTake: (batch) => events.push(...batch),
    }).then((started) => {
      if (!started.ok) fail(new Error(started.problem));
      else
        for (const bytes of [
          [0x90, 60, 100],
          [0xb0, 3, 0],
        ])
          started.value.play(bytes);
    }, fail);
  });
  expect(problem).toBe('The MIDI thread stopped after a fault: a fault outside the engine.');
  expect(events.slice(-2).map(({ bytes }) => bytes)).toEqual([
    [0x80, 60, 64],
    [0x80, 72, 64],
  ]);
});

test('a worker file that is missing is a result, not a crash', async () => {
  const started = await startEngine({ setup: echoSetup, workerFile: '/nowhere/engine-worker.js' });
  expect(started).toMatchObject({ ok: false, reason: 'engine' });
});

// What the outputs got is proved on a real sequencer; here, that the process ends, and how.
test.each<[string, number]>([
  ['exit', 3],
  ['throw', 1],
  ['close', 0],
])('a process that ends by %s ends with status %i', (end, status) => {
  const options = JSON.stringify({ chord: [60, 64], end });
  const result = spawnSync(process.execPath, [hostFile, workerFile, options], { encoding: 'utf8' });
  expect(result.stdout).toContain('open\n');
  expect(result.status).toBe(status);
});
