/**
 * Start-up: a process from its start until it is ready to play, beside a bare Node process and one
 * that only loads the MIDI binding. Without a MIDI system the ports stay closed and rehearsal starts.
 */
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Bench, milliseconds, spreadOf } from './measure.ts';

const rounds = 15;
const environment = {
  ...process.env,
  HANDSPAN_HOME: mkdtempSync(join(tmpdir(), 'handspan-bench-')),
};

/** Milliseconds from the start of the process until it ends. */
function timeProcess(args: readonly string[]): number {
  const start = performance.now();
  const { status, stderr } = spawnSync(process.execPath, [...args], { env: environment });
  if (status !== 0) throw new Error(`${args.join(' ')} ended with ${status}: ${String(stderr)}`);
  return performance.now() - start;
}

/** Milliseconds until the engine has answered and the command says what it plays. */
function timeToReady(): Promise<number> {
  const start = performance.now();
  const child = spawn(process.execPath, ['dist/cli.js', 'play', '--plain', '--rehearse'], {
    env: environment,
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  return new Promise((resolve, reject) => {
    let ready = Number.NaN;
    child.once('error', reject);
    child.stderr.once('data', () => {
      ready = performance.now() - start;
      child.kill('SIGTERM');
    });
    child.once('exit', () => resolve(ready));
  });
}

export const startUpBench: Bench = {
  title: `Start-up of a process, ${rounds} interleaved rounds (aim: at most 2 x the binding)`,
  run: async () => {
    const node: number[] = [];
    const binding: number[] = [];
    const play: number[] = [];
    for (let round = 0; round < rounds; round += 1) {
      node.push(timeProcess(['-e', '']));
      binding.push(timeProcess(['-e', "require('@julusian/midi/lazy')"]));
      play.push(await timeToReady());
    }
    const [bare = 0, loaded = 0, ready = 0] = [node, binding, play].map(
      (times) => spreadOf(times).median,
    );
    return [
      ['node alone', `median ${milliseconds(bare)}`],
      ['node with the MIDI binding loaded', `median ${milliseconds(loaded)}`],
      [
        'handspan play until ready to play',
        `median ${milliseconds(ready)}, ${(ready / Math.max(1, loaded)).toFixed(2)} x the binding`,
      ],
    ];
  },
};
