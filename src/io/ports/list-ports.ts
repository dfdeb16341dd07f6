/** The names of ports there are now, for choosing from. */
import { createClock } from '../clock.ts';

export type PortNames = {
  readonly inputs: readonly string[];
  readonly outputs: readonly string[];
  /** False where no program can make ports of its own: Windows. */
  readonly isVirtualPossible?: boolean;
};

/** Asked on the calling thread, for the worker's ports are busy playing. Else one sentence. */
export async function listPortNames(): Promise<PortNames | string> {
  const { createMidiPorts } = await import('./midi-ports.ts');
  const opened = createMidiPorts(createClock());
  if (!opened.ok) return opened.problem;
  const { isVirtualPossible } = opened.value;
  const [inputs, outputs] = [opened.value.inputs(), opened.value.outputs()];
  const names = { inputs, outputs, isVirtualPossible };
  opened.value.close();
  return names;
}
