/**
 * Ties the worker shell to the thread it runs in; engine-worker.ts and tests name the engine. The
 * first message is the WorkerData, all others are requests.
 */
import { parentPort, workerData } from 'node:worker_threads';
import { createClock } from '../clock.ts';
import { createMidiPorts } from '../ports/midi-ports.ts';
import { connectSound } from '../sound/sound-line.ts';
import type { CreateEngine } from './engine-session.ts';
import type { ThreadData } from './engine-thread.ts';
import type { WorkerRequest } from './stage-state.ts';
import type { WorkerData, WorkerReply } from './worker-messages.ts';
import { startWorker } from './worker-shell.ts';

/** @throws when called on the main thread. */
export function runWorker(createEngine: CreateEngine): void {
  const port = parentPort;
  if (!port) throw new Error('The engine worker runs in a worker thread only.');
  const { loaded }: ThreadData = workerData;
  Atomics.store(new Int32Array(loaded), 0, 1);
  Atomics.notify(new Int32Array(loaded), 0);
  port.once('message', (data: WorkerData) => {
    const shell = startWorker({
      data,
      createEngine,
      createPorts: createMidiPorts,
      connectSound,
      clock: createClock(),
      post: (reply: WorkerReply) => port.postMessage(reply),
      end: () => port.close(),
    });
    process.on('uncaughtException', (error) => shell.die(error));
    port.on('message', (request: WorkerRequest) => shell.request(request));
  });
}
