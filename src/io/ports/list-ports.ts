/** The names of ports there are now, for choosing from. */
import { createClock } from '../clock.ts';

export type PortNames = { readonly inputs: readonly string[]; readonly outputs: readonly string[] };

/** Asked on the calling thread, for the worker's ports are busy playing. Else one sentence. */
export async function listPortNames(): Promise<PortNames | string> {
  const { createMidiPorts } = await import('./midi-ports.ts');
  const opened = createMidiPorts(createClock());
  if (!opened.ok) return opened.problem;
  const names = { inputs: opened.value.inputs(), outputs: opened.value.outputs() };
  opened.value.close();
  return names;
}
