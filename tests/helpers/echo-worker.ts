/** The real worker with the echo engine. Controller 3 makes the worker itself fail. */
import { runWorker } from '../../src/io/engine/run-worker.ts';
import { createEchoEngine } from './echo-engine.ts';

runWorker((setup) => {
  const engine = createEchoEngine(setup);
  return {
    ...engine,
    receive(message, at) {
      if (message.type === 'controlChange' && message.controller === 3) {
        setImmediate(() => {
          throw new Error('a fault outside the engine');
        });
      }
      return engine.receive(message, at);
    },
  };
});
