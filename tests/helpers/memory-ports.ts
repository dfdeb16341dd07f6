/**
 * MIDI ports in memory: the same interface without a system, for tests and for measuring. Whoever
 * holds them plays the other side: lets bytes arrive, reads what was sent, pulls a cable.
 */

import type { Result } from '../../src/common/result.ts';
import { findPort } from '../../src/io/ports/port-names.ts';
import type {
  InputPort,
  MidiPorts,
  OutputPort,
  PortChange,
  Receive,
} from '../../src/io/ports/ports.ts';
import { virtualNameProblem } from '../../src/io/ports/ports.ts';
import { isWholeMessage } from '../../src/midi/encode.ts';

type Line = {
  readonly name: string;
  readonly direction: 'in' | 'out';
  readonly isVirtual: boolean;
  readonly receive: Receive | undefined;
  readonly sent: number[][];
  isOpen: boolean;
  messages: number;
};

export type MemoryPorts = MidiPorts & {
  /** Bytes reach the open input `name`. */
  readonly arrive: (name: string, bytes: readonly number[], atMicroseconds: number) => void;
  /** Everything sent to the open output `name`, oldest first. */
  readonly sentTo: (name: string) => readonly (readonly number[])[];
  readonly unplug: (name: string) => void;
  readonly plugIn: (name: string, direction: 'in' | 'out') => void;
  /** Somebody called `peer` connects to the virtual port `name`, or is gone. */
  readonly connect: (name: string, peer: string) => void;
  readonly disconnect: (name: string, peer: string) => void;
  readonly isClosed: () => boolean;
};

export function createMemoryPorts(existing: {
  readonly inputs?: readonly string[];
  readonly outputs?: readonly string[];
  readonly isVirtualPossible?: boolean;
}): MemoryPorts {
  const names = { in: [...(existing.inputs ?? [])], out: [...(existing.outputs ?? [])] };
  const lines: Line[] = [];
  const peers = new Map<string, readonly string[]>();
  let isClosed = false;

  const add = (name: string, direction: 'in' | 'out', isVirtual: boolean, receive?: Receive) => {
    const sent: number[][] = [];
    const line: Line = { name, direction, isVirtual, receive, sent, isOpen: true, messages: 0 };
    lines.push(line);
    return line;
  };
  const existingLine = (wanted: string, direction: 'in' | 'out', receive?: Receive) => {
    const found = findPort(wanted, names[direction], direction);
    return found.ok
      ? { ok: true as const, value: add(found.value, direction, false, receive) }
      : found;
  };
  const virtualLine = (name: string, direction: 'in' | 'out', receive?: Receive): Result<Line> => {
    const problem = virtualNameProblem(name, names.out);
    return problem
      ? { ok: false, problem }
      : { ok: true, value: add(name, direction, true, receive) };
  };

  return {
    isVirtualPossible: existing.isVirtualPossible ?? true,
    inputs: () => names.in,
    outputs: () => names.out,
    openInput: (name, receive) => map(existingLine(name, 'in', receive), inputPort),
    openOutput: (name) => map(existingLine(name, 'out'), outputPort),
    openVirtualInput: (name, receive) => map(virtualLine(name, 'in', receive), inputPort),
    openVirtualOutput: (name) => map(virtualLine(name, 'out'), outputPort),
    poll() {
      const changes: PortChange[] = [];
      for (const line of lines) {
        const isThere = line.isVirtual || names[line.direction].includes(line.name);
        if (isThere === line.isOpen) continue;
        line.isOpen = isThere;
        changes.push({ direction: line.direction, name: line.name, isOpen: isThere });
      }
      return changes;
    },
    loseAll() {
      const real = lines.filter((line) => !line.isVirtual && line.isOpen);
      for (const line of real) line.isOpen = false;
      return real.map(({ direction, name }) => ({ direction, name, isOpen: false }));
    },
    lookAtConnections(told) {
      const virtual = lines.filter((line) => line.isVirtual);
      told(
        virtual.map(({ direction, name }) => ({ direction, name, peers: peers.get(name) ?? [] })),
      );
    },
    connect: (name, peer) => {
      peers.set(name, [...(peers.get(name) ?? []), peer]);
    },
    disconnect: (name, peer) => {
      peers.set(
        name,
        (peers.get(name) ?? []).filter((other) => other !== peer),
      );
    },
    close: () => {
      isClosed = true;
      for (const line of lines) line.isOpen = false;
    },
    arrive(name, bytes, at) {
      for (const line of lines) {
        if (line.direction !== 'in' || line.name !== name || !line.isOpen) continue;
        line.messages += 1;
        line.receive?.(bytes, at);
      }
    },
    sentTo: (name) => lines.find((l) => l.direction === 'out' && l.name === name)?.sent ?? [],
    unplug: (name) => {
      names.in = names.in.filter((other) => other !== name);
      names.out = names.out.filter((other) => other !== name);
    },
    plugIn: (name, direction) => {
      names[direction].push(name);
    },
    isClosed: () => isClosed,
  };
}

function inputPort(line: Line): InputPort {
  return { state: () => stateOf(line) };
}

function outputPort(line: Line): OutputPort {
  return {
    state: () => stateOf(line),
    send: (bytes) => {
      if (!isWholeMessage(bytes)) throw new RangeError(`not one whole message: ${bytes.join(' ')}`);
      if (!line.isOpen) return;
      line.messages += 1;
      line.sent.push([...bytes]);
    },
    waiting: () => 0,
    flush: () => {},
  };
}

function stateOf({ name, direction, isVirtual, isOpen, messages }: Line) {
  return { name, direction, isVirtual, isOpen, messages };
}

function map<A, B>(result: Result<A>, change: (value: A) => B): Result<B> {
  return result.ok ? { ok: true, value: change(result.value) } : result;
}
