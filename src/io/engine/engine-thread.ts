/**
 * The engine's worker thread, started before it is known what it will play: loading the engine and
 * the MIDI binding takes as long as reading settings and presets does, and the two can go on at once.
 */
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { collectSeldom } from './new-space.ts';

/** What a thread is born with. One Int32: 0 until all it imports is loaded, then 1. */
export type ThreadData = { readonly loaded: SharedArrayBuffer };

/** Milliseconds that an exit waits at most: loading takes a tenth of a second where nothing is wrong. */
const longestLoading = 5000;

/** Of the threads that live. */
const flags = new Set<Int32Array>();

type Spare = { readonly worker: Worker; readonly forget: () => void };

/** Threads that wait for work, by the file they run: one each. */
const spares = new Map<string, Spare>();

/**
 * Cheap, never throws, and keeps no process alive. What it started is used by the next start.
 * `workerFile` is for tests.
 */
export function startThreadAhead(workerFile?: string): void {
  try {
    const file = workerFile ?? findWorkerFile();
    keep(file, newThread(file));
  } catch {
    // The start itself says what is wrong.
  }
}

/**
 * A thread that waits for its WorkerData as the next message.
 * @throws when the program is not built.
 */
export function takeThread(workerFile: string | undefined): Worker {
  const file = workerFile ?? findWorkerFile();
  const spare = spares.get(file);
  if (spare === undefined) return newThread(file);
  spare.forget();
  spare.worker.ref();
  return spare.worker;
}

/**
 * A thread whose session is over, for the next one. CoreMIDI tells only the thread that was the
 * first to ask for MIDI of what is plugged in, so one thread opens and lists all ports in turn.
 */
export function giveThreadBack(worker: Worker, workerFile: string | undefined): void {
  const file = workerFile ?? findWorkerFile();
  if (spares.has(file)) void worker.terminate();
  else keep(file, worker);
}

/** Whoever takes it later hears of nothing that came before; so it is taken only while it lives. */
function keep(file: string, worker: Worker): void {
  const forget = (): void => {
    worker.off('error', forget);
    worker.off('exit', forget);
    spares.delete(file);
  };
  worker.once('error', forget);
  worker.once('exit', forget);
  worker.unref();
  spares.set(file, { worker, forget });
}

/**
 * A process that exits stops its threads wherever they are; one that is stopped while the MIDI
 * binding loads aborts the whole process. So the exit, whoever asks for it, waits for that.
 */
function newThread(file: string): Worker {
  const loaded = new SharedArrayBuffer(4);
  const workerData: ThreadData = { loaded };
  collectSeldom();
  const worker = new Worker(file, { workerData });
  const flag = new Int32Array(loaded);
  flags.add(flag);
  worker.once('exit', () => flags.delete(flag));
  if (process.listeners('exit').includes(waitUntilLoaded)) return worker;
  process.on('exit', waitUntilLoaded);
  return worker;
}

function waitUntilLoaded(): void {
  for (const flag of flags) Atomics.wait(flag, 0, 0, longestLoading);
}

/** Beside the built file that this code ended in, or in dist/ when it runs from the source. */
function findWorkerFile(): string {
  const places = ['./engine-worker.js', '../../../dist/engine-worker.js'];
  const files = places.map((place) => fileURLToPath(new URL(place, import.meta.url)));
  const file = files.find((candidate) => existsSync(candidate));
  if (file === undefined) {
    throw new Error(`The engine worker is not built: no ${files.join(', ')}. Run "npm run build".`);
  }
  return file;
}
