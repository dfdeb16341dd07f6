/**
 * Finds and opens the wished ports, all or none, virtual ones last: until then nobody can connect to
 * something that is about to be given up again.
 */

import type { Result } from '../../common/result.ts';
import { type PortWishes, virtualInputName, virtualOutputName } from '../engine/worker-messages.ts';
import { findPort } from './port-names.ts';
import type { InputPort, MidiPorts, OutputPort, Receive } from './ports.ts';
import { virtualNameProblem } from './ports.ts';

export type OpenPorts = {
  readonly inputs: readonly InputPort[];
  readonly outputs: readonly OutputPort[];
};

/** The whole names of existing ports, each once. */
export type FoundPorts = { readonly from: readonly string[]; readonly to: readonly string[] };

/** Which ports are meant, or why they cannot be had. Opens none. */
export function findPorts(ports: MidiPorts, wishes: PortWishes): Result<FoundPorts> {
  const problem = problemBefore(ports, wishes);
  if (problem) return { ok: false, problem };
  const from = wholeNames(wishes.from, ports.inputs(), 'in');
  if (!from.ok) return from;
  const to = wholeNames(wishes.to, ports.outputs(), 'out');
  if (!to.ok) return to;
  const loop = from.value.find((name) => /midi through/i.test(name) && to.value.includes(name));
  if (loop !== undefined) return { ok: false, problem: loopProblem(loop) };
  return { ok: true, value: { from: from.value, to: to.value } };
}

/**
 * `receive` gets the name of the input with its bytes.
 * A failure leaves the ports opened so far to `ports.close()`.
 */
export function openPorts(
  ports: MidiPorts,
  wishes: PortWishes,
  receive: (input: string, ...rest: Parameters<Receive>) => void,
): Result<OpenPorts> {
  const found = findPorts(ports, wishes);
  if (!found.ok) return found;
  const inputs: InputPort[] = [];
  const outputs: OutputPort[] = [];
  const steps: (() => Result<InputPort | OutputPort>)[] = [];

  const into = <P>(list: P[], result: Result<P>): Result<P> => {
    if (result.ok) list.push(result.value);
    return result;
  };
  // The port has its full name only once it is found, and is not heard of before it is open.
  const input = (open: (receive: Receive) => Result<InputPort>) => {
    let name = '';
    const result = into(
      inputs,
      open((bytes, at) => receive(name, bytes, at)),
    );
    if (result.ok) name = result.value.state().name;
    return result;
  };
  for (const name of found.value.from)
    steps.push(() => input((hear) => ports.openInput(name, hear)));
  for (const name of found.value.to) steps.push(() => into(outputs, ports.openOutput(name)));
  if (wishes.isVirtualOutput) {
    steps.push(() => into(outputs, ports.openVirtualOutput(virtualOutputName)));
  }
  if (wishes.isVirtualInput) {
    steps.push(() => input((hear) => ports.openVirtualInput(virtualInputName, hear)));
  }
  for (const step of steps) {
    const result = step();
    if (!result.ok) return result;
  }
  return { ok: true, value: { inputs, outputs } };
}

function problemBefore(ports: MidiPorts, wishes: PortWishes): string | undefined {
  if (!wishes.isVirtualInput && !wishes.isVirtualOutput) return undefined;
  if (!ports.isVirtualPossible) {
    return 'This system has no virtual MIDI ports: name an existing input and an existing output.';
  }
  const outputs = ports.outputs();
  return wishes.isVirtualInput ? virtualNameProblem(virtualInputName, outputs) : undefined;
}

/** Each port once, however often and by whatever parts of its name it was wished for. */
function wholeNames(
  wanted: readonly string[],
  names: readonly string[],
  direction: 'in' | 'out',
): Result<readonly string[]> {
  const whole = new Set<string>();
  for (const name of wanted) {
    const found = findPort(name, names, direction);
    if (!found.ok) return found;
    whole.add(found.value);
  }
  return { ok: true, value: [...whole] };
}

/** ALSA's "Midi Through" sends back all it gets: listened and sent to at once, a chord never ends. */
function loopProblem(name: string): string {
  return `"${name}" sends back what it gets, so it cannot be input and output at once: choose another for one of them.`;
}
