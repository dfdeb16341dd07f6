/**
 * What asks a program to end. SIGQUIT and Windows' SIGBREAK would else end it with notes sounding;
 * where a system has no such signal, listening for it does nothing.
 */
const endingSignals = ['SIGINT', 'SIGTERM', 'SIGHUP', 'SIGQUIT', 'SIGBREAK'] as const;

/** Calls `run` at each of them; returns how to stop that. */
export function onEndingSignals(run: () => void): () => void {
  for (const signal of endingSignals) process.on(signal, run);
  return () => {
    for (const signal of endingSignals) process.off(signal, run);
  };
}
