/**
 * The machine's MIDI ports, through @julusian/midi (RtMidi). The binding forgives nothing: what it
 * does instead of failing stands beside each guard here.
 */

import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { Input, Output, verifyLibraryLoaded } from '@julusian/midi/lazy';
import { errorText } from '../../common/error-text.ts';
import type { Result } from '../../common/result.ts';
import { isWholeMessage } from '../../midi/encode.ts';
import type { Clock } from '../clock.ts';
import type { PortState } from '../engine/stage-state.ts';
import { createArrivalTime } from './arrival-time.ts';
import { createPacedOutput } from './paced-output.ts';
import { findPort, portNames } from './port-names.ts';
import {
  type Connections,
  type InputPort,
  type MidiPorts,
  type OutputPort,
  type PortChange,
  type Receive,
  virtualNameProblem,
} from './ports.ts';
import { onlyPort, parseSequencerClients, type SequencerPort } from './sequencer-clients.ts';

/**
 * The ports of this machine, or a sentence why there is no MIDI here at all.
 * Opens no port yet; two idle clients stand for looking at the lists.
 */
export function createMidiPorts(clock: Clock): Result<MidiPorts> {
  try {
    verifyLibraryLoaded();
    // Asked first because the ALSA library writes its own lines to the terminal when it fails.
    if (process.platform === 'linux' && !existsSync('/dev/snd/seq')) {
      return {
        ok: false,
        problem: 'No MIDI system here: the ALSA sequencer /dev/snd/seq is missing.',
      };
    }
    return { ok: true, value: new SystemPorts(clock) };
  } catch (error) {
    return { ok: false, problem: `No MIDI system here: ${reason(error)}.` };
  }
}

class SystemPorts implements MidiPorts {
  readonly isVirtualPossible = process.platform !== 'win32';
  readonly #clock: Clock;
  // `getPortCount` on an idle live instance costs 0.13 ms; the static lists open a client each.
  readonly #inputWatcher = new Input();
  readonly #outputWatcher = new Output();
  readonly #lines: Line[] = [];

  constructor(clock: Clock) {
    this.#clock = clock;
  }

  inputs(): string[] {
    return portNames(rawNames(this.#inputWatcher), process.platform);
  }

  outputs(): string[] {
    return portNames(rawNames(this.#outputWatcher), process.platform);
  }

  openInput(wanted: string, receive: Receive): Result<InputPort> {
    const found = findPort(wanted, this.inputs(), 'in');
    return found.ok ? this.#open(new InputLine(found.value, false, this.#clock, receive)) : found;
  }

  openOutput(wanted: string): Result<OutputPort> {
    const found = findPort(wanted, this.outputs(), 'out');
    return found.ok ? this.#open(new OutputLine(found.value, false, this.#clock)) : found;
  }

  openVirtualInput(name: string, receive: Receive): Result<InputPort> {
    const problem = this.#virtualProblem(name);
    if (problem) return { ok: false, problem };
    return this.#open(new InputLine(name, true, this.#clock, receive));
  }

  openVirtualOutput(name: string): Result<OutputPort> {
    const problem = this.#virtualProblem(name);
    if (problem) return { ok: false, problem };
    return this.#open(new OutputLine(name, true, this.#clock));
  }

  poll(): PortChange[] {
    const changes: PortChange[] = [];
    for (const line of this.#lines) {
      const watcher = line.direction === 'in' ? this.#inputWatcher : this.#outputWatcher;
      if (line.follow(watcher)) {
        changes.push({ direction: line.direction, name: line.name, isOpen: line.isOpen });
      }
    }
    return changes;
  }

  /** On Linux the kernel tells, in a file; elsewhere nobody does. */
  lookAtConnections(told: (connections: readonly Connections[]) => void): void {
    const virtual = this.#lines.filter((line) => line.isVirtual);
    if (process.platform !== 'linux' || virtual.length === 0) {
      told([]);
      return;
    }
    readFile('/proc/asound/seq/clients', 'utf8').then(
      (text) => {
        const ports = parseSequencerClients(text);
        told(virtual.flatMap((line) => line.connectionsAmong(ports)));
      },
      () => told([]),
    );
  }

  close(): void {
    for (const line of this.#lines) line.destroy();
    this.#lines.length = 0;
    this.#inputWatcher.destroy();
    this.#outputWatcher.destroy();
  }

  #open<L extends Line>(line: L): Result<L> {
    const isOpen = line.openFirst(
      line.direction === 'in' ? this.#inputWatcher : this.#outputWatcher,
    );
    if (isOpen) {
      this.#lines.push(line);
      return { ok: true, value: line };
    }
    line.destroy();
    const kind = line.direction === 'in' ? 'input' : 'output';
    return { ok: false, problem: `The MIDI ${kind} "${line.name}" could not be opened.` };
  }

  #virtualProblem(name: string): string | undefined {
    if (!this.isVirtualPossible) {
      return `This system has no virtual MIDI ports, so "${name}" cannot be made: name existing ports.`;
    }
    return virtualNameProblem(name, [...this.outputs(), ...this.inputs()]);
  }
}

type Watcher = { getPortCount(): number; getPortName(port: number): string };

/** One port of ours and its peer. */
abstract class Line {
  readonly name: string;
  readonly isVirtual: boolean;
  abstract readonly direction: 'in' | 'out';
  isOpen = false;
  protected messages = 0;
  protected abstract readonly port: Input | Output;
  /** Where the peer stood in the list, and its full name there with the changing numbers. */
  #index = -1;
  #rawName = '';

  constructor(name: string, isVirtual: boolean) {
    this.name = name;
    this.isVirtual = isVirtual;
  }

  state(): PortState {
    const { name, direction, isVirtual, isOpen, messages } = this;
    return { name, direction, isVirtual, isOpen, messages };
  }

  connectionsAmong(ports: readonly SequencerPort[]): readonly Connections[] {
    const { name, direction } = this;
    const port = onlyPort(ports, name);
    if (port === undefined) return [];
    return [{ direction, name, peers: direction === 'in' ? port.senders : port.readers }];
  }

  openFirst(watcher: Watcher): boolean {
    if (!this.isVirtual) return this.#connect(watcher);
    this.isOpen = attempt(() => this.port.openVirtualPort(this.name));
    return this.isOpen;
  }

  /**
   * True when the peer vanished or is back. No event says so, and `isPortOpen` stays true without
   * a peer: the list of ports is all there is to look at.
   */
  follow(watcher: Watcher): boolean {
    if (this.isVirtual) return false;
    if (!this.isOpen) return this.#connect(watcher);
    if (
      this.#index < watcher.getPortCount() &&
      watcher.getPortName(this.#index) === this.#rawName
    ) {
      return false;
    }
    const moved = rawNames(watcher).indexOf(this.#rawName);
    if (moved >= 0) {
      this.#index = moved;
      return false;
    }
    this.isOpen = false;
    this.lost();
    attempt(() => this.port.closePort());
    return true;
  }

  /** `closePort` alone leaves a virtual port listed and live. */
  destroy(): void {
    this.isOpen = false;
    attempt(() => this.port.destroy());
  }

  protected lost(): void {}

  #connect(watcher: Watcher): boolean {
    const names = rawNames(watcher);
    const index = portNames(names, process.platform).indexOf(this.name);
    if (index < 0) return false;
    this.isOpen = attempt(() => this.port.openPort(index)) && this.port.isPortOpen();
    this.#index = index;
    this.#rawName = names[index] ?? '';
    return this.isOpen;
  }
}

class InputLine extends Line implements InputPort {
  readonly direction = 'in';
  protected readonly port = new Input();
  readonly #arrival = createArrivalTime();

  constructor(name: string, isVirtual: boolean, clock: Clock, receive: Receive) {
    super(name, isVirtual);
    // All three are off by default, and a player's clock and SysEx are to pass.
    this.port.ignoreTypes(false, false, false);
    this.port.on('messageBuffer', (deltaSeconds, bytes) => {
      this.messages += 1;
      receive(bytes, this.#arrival.arrived(deltaSeconds, clock.now()));
    });
  }

  protected override lost(): void {
    this.#arrival.reset();
  }
}

class OutputLine extends Line implements OutputPort {
  readonly direction = 'out';
  protected readonly port = new Output();
  readonly #paced: ReturnType<typeof createPacedOutput>;

  constructor(name: string, isVirtual: boolean, clock: Clock) {
    super(name, isVirtual);
    this.#paced = createPacedOutput(clock, (bytes) => this.port.sendMessage(Buffer.from(bytes)));
  }

  send(bytes: readonly number[]): void {
    // Out of range or unfinished, the binding sends something else without a word.
    if (!isWholeMessage(bytes)) throw new RangeError(`not one whole message: ${bytes.join(' ')}`);
    // One message sent before the port is open, and this object never sends again.
    if (!this.isOpen) return;
    this.messages += 1;
    this.#paced.send(bytes);
  }

  waiting(): number {
    return this.#paced.waiting();
  }

  flush(): void {
    this.#paced.flush();
  }

  protected override lost(): void {
    this.#paced.clear();
  }

  override destroy(): void {
    this.#paced.clear();
    super.destroy();
  }
}

function rawNames(watcher: Watcher): string[] {
  return Array.from({ length: watcher.getPortCount() }, (_, port) => watcher.getPortName(port));
}

function attempt(action: () => void): boolean {
  try {
    action();
    return true;
  } catch {
    return false;
  }
}

function reason(error: unknown): string {
  const text = errorText(error);
  return text.replace(/\s+/g, ' ').replace(/\.$/, '').slice(0, 200);
}
