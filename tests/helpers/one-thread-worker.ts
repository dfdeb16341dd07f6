/** The real worker over ports in memory that tell how many MIDI systems this thread has made. */
import { runWorker } from '../../src/io/engine/run-worker.ts';
import { createEchoEngine } from './echo-engine.ts';
import { createMemoryPorts } from './memory-ports.ts';

let systems = 0;

runWorker(createEchoEngine, () => {
  systems += 1;
  return {
    ok: true,
    value: createMemoryPorts({ outputs: [`system ${systems} of this thread`] }),
  };
});
