/**
 * The engine's worker thread, started before it is known what it will play: loading the engine and
 * the MIDI binding takes as long as reading settings and presets does, and the two can go on at once.
 */
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';

/** What a thread is born with. One Int32: 0 until all it imports is loaded, then 1. */
export type ThreadData = { readonly loaded: SharedArrayBuffer };

/** Milliseconds that an exit waits at most: loading takes a tenth of a second where nothing is wrong. */
const longestLoading = 5000;

/** Of the threads that live. */
const flags = new Set<Int32Array>();

let ahead: Worker | undefined;

/**
 * Cheap, never throws, and keeps no process alive. What it started is used by the next start that
 * names no worker file of its own. `workerFile` is for tests.
 */
export function startThreadAhead(workerFile?: string): void {
  try {
    const worker = newThread(workerFile ?? findWorkerFile());
    ahead = worker;
    worker.unref();
    // Whoever takes it later hears of nothing that came before; so it is taken only while it lives.
    worker.once('error', forget);
    worker.once('exit', forget);
  } catch {
    // The start itself says what is wrong.
  }
}

function forget(): void {
  ahead = undefined;
}

/**
 * A thread that waits for its WorkerData as the first message.
 * @throws when the program is not built.
 */
export function takeThread(workerFile: string | undefined): Worker {
  const worker = workerFile === undefined ? ahead : undefined;
  if (worker === undefined) return newThread(workerFile ?? findWorkerFile());
  forget();
  worker.off('error', forget);
  worker.off('exit', forget);
  worker.ref();
  return worker;
}

/**
 * A process that exits stops its threads wherever they are; one that is stopped while the MIDI
 * binding loads aborts the whole process. So the exit, whoever asks for it, waits for that.
 */
function newThread(file: string): Worker {
  const loaded = new SharedArrayBuffer(4);
  const workerData: ThreadData = { loaded };
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
