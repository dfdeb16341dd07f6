/**
 * Ties the worker shell to the thread it runs in; engine-worker.ts and tests name the engine. The
 * first message is the WorkerData, those that follow are requests; after the last of them the thread
 * waits for the next WorkerData, so that one thread opens and lists all ports in turn.
 */
import { parentPort, workerData } from 'node:worker_threads';
import { createClock } from '../clock.ts';
import { createMidiPorts } from '../ports/midi-ports.ts';
import { connectSound } from '../sound/sound-line.ts';
import type { CreateEngine } from './engine-session.ts';
import type { ThreadData } from './engine-thread.ts';
import type { WorkerRequest } from './stage-state.ts';
import type { WorkerData, WorkerReply } from './worker-messages.ts';
import { startWorker, type WorkerShell, type WorkerSurroundings } from './worker-shell.ts';

/** @throws when called on the main thread. */
export function runWorker(
  createEngine: CreateEngine,
  createPorts: WorkerSurroundings['createPorts'] = createMidiPorts,
): void {
  const port = parentPort;
  if (!port) throw new Error('The engine worker runs in a worker thread only.');
  const { loaded }: ThreadData = workerData;
  Atomics.store(new Int32Array(loaded), 0, 1);
  Atomics.notify(new Int32Array(loaded), 0);
  let shell: WorkerShell | undefined;
  const die = (error: unknown): void => shell?.die(error);

  const begin = (data: WorkerData): void => {
    let isOver = false;
    const begun = startWorker({
      data,
      createEngine,
      createPorts,
      connectSound,
      clock: createClock(),
      post: (reply: WorkerReply) => port.postMessage(reply),
      end: (isFaulty) => {
        isOver = true;
        shell = undefined;
        process.off('uncaughtException', die);
        // After a fault nobody knows what is left in memory.
        if (isFaulty) port.close();
      },
    });
    if (isOver) return;
    shell = begun;
    process.on('uncaughtException', die);
  };

  port.on('message', (message: WorkerData | WorkerRequest) => {
    const isData = 'silent' in message;
    if (isData) begin(message);
    // What was asked of a session that is over by now is asked of nobody.
    else shell?.request(message);
  });
}
