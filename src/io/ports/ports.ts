/**
 * MIDI ports as the shells see them: real ones in midi-ports.ts, ones in memory in
 * memory-ports.ts. Bytes and names only; what they mean is decided elsewhere.
 */

import type { Result } from '../../common/result.ts';
import type { PortState } from '../engine/stage-state.ts';

/** Bytes as they came, usually one message, and when they came in microseconds of the clock. */
export type Receive = (bytes: ArrayLike<number>, atMicroseconds: number) => void;

export type InputPort = {
  readonly state: () => PortState;
};

export type OutputPort = {
  readonly state: () => PortState;
  /**
   * Sends one whole message, in order, at once unless too many were sent just before.
   * @throws RangeError when the bytes are not exactly one message.
   */
  readonly send: (bytes: readonly number[]) => void;
  /** Messages that still wait for their turn. */
  readonly waiting: () => number;
  /** Sends all that waits without further pause: for the moment before the end. */
  readonly flush: () => void;
};

export type PortChange = {
  readonly direction: 'in' | 'out';
  readonly name: string;
  readonly isOpen: boolean;
};

/** Who is connected to a virtual port of ours. */
export type Connections = {
  readonly direction: 'in' | 'out';
  readonly name: string;
  /** One text for each other port, the same from look to look. */
  readonly peers: readonly string[];
};

export type MidiPorts = {
  /** False on Windows: nothing but existing ports there. */
  readonly isVirtualPossible: boolean;
  /** Names of what can be listened to. */
  readonly inputs: () => readonly string[];
  /** Names of what can be sent to. */
  readonly outputs: () => readonly string[];
  /** `name` may be an unambiguous part of a name. */
  readonly openInput: (name: string, receive: Receive) => Result<InputPort>;
  readonly openOutput: (name: string) => Result<OutputPort>;
  readonly openVirtualInput: (name: string, receive: Receive) => Result<InputPort>;
  readonly openVirtualOutput: (name: string) => Result<OutputPort>;
  /**
   * Looks after existing ports; to be called about twice a second. One that vanished is closed,
   * one that is back is opened again. Returns what changed.
   */
  readonly poll: () => readonly PortChange[];
  /**
   * Closes every existing port as if it had vanished, for what the system did with it meanwhile is
   * not known; the next look opens those again that are there. Returns what changed.
   */
  readonly loseAll: () => readonly PortChange[];
  /**
   * Calls back once, perhaps later, with the connections of the virtual ports; ports of which the
   * system tells nothing are left out.
   */
  readonly lookAtConnections: (told: (connections: readonly Connections[]) => void) => void;
  /** Closes everything and removes the virtual ports. Nothing is sent: let the notes go before. */
  readonly close: () => void;
};

/** A second instance would get every key twice: said before any port is opened. */
export function virtualNameProblem(name: string, outputs: readonly string[]): string | undefined {
  const isTaken = outputs.some((output) => output === name || output.endsWith(`:${name}`));
  return isTaken
    ? `A port "${name}" exists already, so Handspan seems to be running: quit that one first.`
    : undefined;
}
