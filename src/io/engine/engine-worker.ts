/** The worker thread's entry: the real engine on the real ports. */
import { createEngine } from '../../live/engine.ts';
import { runWorker } from './run-worker.ts';

runWorker(createEngine);
