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

/** The binding and the system it is on; tests give others. */
export type MidiSystem = {
  readonly Input: typeof Input;
  readonly Output: typeof Output;
  readonly platform: string;
};

const thisSystem: MidiSystem = { Input, Output, platform: process.platform };

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
    return { ok: true, value: portsOf(thisSystem, clock) };
  } catch (error) {
    return { ok: false, problem: `No MIDI system here: ${reason(error)}.` };
  }
}

export function portsOf(system: MidiSystem, clock: Clock): MidiPorts {
  return new SystemPorts(system, clock);
}

class SystemPorts implements MidiPorts {
  readonly isVirtualPossible: boolean;
  readonly #system: MidiSystem;
  readonly #clock: Clock;
  // `getPortCount` on an idle live instance costs 0.13 ms; the static lists open a client each.
  readonly #inputWatcher: Input;
  readonly #outputWatcher: Output;
  readonly #lines: Line[] = [];

  constructor(system: MidiSystem, clock: Clock) {
    this.#system = system;
    this.#clock = clock;
    this.isVirtualPossible = system.platform !== 'win32';
    this.#inputWatcher = new system.Input();
    this.#outputWatcher = new system.Output();
  }

  inputs(): string[] {
    return portNames(rawNames(this.#inputWatcher), this.#system.platform);
  }

  outputs(): string[] {
    return portNames(rawNames(this.#outputWatcher), this.#system.platform);
  }

  openInput(wanted: string, receive: Receive): Result<InputPort> {
    const found = findPort(wanted, this.inputs(), 'in');
    return found.ok ? this.#open(this.#input(found.value, false, receive)) : found;
  }

  openOutput(wanted: string): Result<OutputPort> {
    const found = findPort(wanted, this.outputs(), 'out');
    return found.ok ? this.#open(this.#output(found.value, false)) : found;
  }

  openVirtualInput(name: string, receive: Receive): Result<InputPort> {
    const problem = this.#virtualProblem(name);
    if (problem) return { ok: false, problem };
    return this.#open(this.#input(name, true, receive));
  }

  openVirtualOutput(name: string): Result<OutputPort> {
    const problem = this.#virtualProblem(name);
    if (problem) return { ok: false, problem };
    return this.#open(this.#output(name, true));
  }

  #input(name: string, isVirtual: boolean, receive: Receive): InputLine {
    const port = new this.#system.Input();
    const line = { name, isVirtual, platform: this.#system.platform };
    return new InputLine(line, port, this.#clock, receive);
  }

  #output(name: string, isVirtual: boolean): OutputLine {
    const port = new this.#system.Output();
    return new OutputLine({ name, isVirtual, platform: this.#system.platform }, port, this.#clock);
  }

  poll(): PortChange[] {
    const changes: PortChange[] = [];
    // CoreMIDI brings its lists up to date only where somebody asks how long they are.
    this.#inputWatcher.getPortCount();
    this.#outputWatcher.getPortCount();
    for (const line of this.#lines) {
      const watcher = line.direction === 'in' ? this.#inputWatcher : this.#outputWatcher;
      if (line.follow(watcher)) {
        changes.push({ direction: line.direction, name: line.name, isOpen: line.isOpen });
      }
    }
    return changes;
  }

  loseAll(): PortChange[] {
    return this.#lines
      .filter((line) => line.isOpen && !line.isVirtual)
      .map((line) => {
        line.close();
        return { direction: line.direction, name: line.name, isOpen: false };
      });
  }

  /** On Linux the kernel tells, in a file; elsewhere nobody does. */
  lookAtConnections(told: (connections: readonly Connections[]) => void): void {
    const virtual = this.#lines.filter((line) => line.isVirtual);
    if (this.#system.platform !== 'linux' || virtual.length === 0) {
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

type Named = { readonly name: string; readonly isVirtual: boolean; readonly platform: string };

/** One port of ours and its peer. */
abstract class Line {
  readonly name: string;
  readonly isVirtual: boolean;
  readonly #platform: string;
  abstract readonly direction: 'in' | 'out';
  isOpen = false;
  protected messages = 0;
  protected abstract readonly port: Input | Output;
  /** Where the peer stood in the list, and its full name there with the changing numbers. */
  #index = -1;
  #rawName = '';
  /** Ports of that full name: where one of two is gone, nobody can tell which. */
  #namesakes = 0;
  /** What the last look said. */
  #wasOpen = false;

  constructor({ name, isVirtual, platform }: Named) {
    this.name = name;
    this.isVirtual = isVirtual;
    this.#platform = platform;
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
    this.#open(watcher);
    this.#wasOpen = this.isOpen;
    return this.isOpen;
  }

  /**
   * True when the peer vanished or is back, or sending failed. No event says so, and `isPortOpen`
   * stays true without a peer: the list of ports is all there is to look at.
   */
  follow(watcher: Watcher): boolean {
    if (!this.isOpen && !this.#wasOpen) this.#open(watcher);
    else if (this.isOpen && !this.isVirtual && !this.#isThere(watcher)) this.disconnect();
    if (this.isOpen === this.#wasOpen) return false;
    this.#wasOpen = this.isOpen;
    return true;
  }

  /** Said at once, by whoever asks for it. */
  close(): void {
    this.disconnect();
    this.#wasOpen = false;
  }

  protected disconnect(): void {
    this.isOpen = false;
    this.lost();
    attempt(() => this.port.closePort());
  }

  /** True where the peer is in the list, wherever it stands now. */
  #isThere(watcher: Watcher): boolean {
    const isInPlace =
      this.#index < watcher.getPortCount() && watcher.getPortName(this.#index) === this.#rawName;
    // On Linux every full name is another.
    if (isInPlace && this.#platform === 'linux') return true;
    const names = rawNames(watcher);
    const namesakes = names.filter((name) => name === this.#rawName).length;
    if (namesakes < this.#namesakes) return false;
    this.#namesakes = namesakes;
    if (!isInPlace) this.#index = names.indexOf(this.#rawName);
    return true;
  }

  /** `closePort` alone leaves a virtual port listed and live. */
  destroy(): void {
    this.isOpen = false;
    attempt(() => this.port.destroy());
  }

  protected lost(): void {}

  #open(watcher: Watcher): void {
    if (this.isVirtual) {
      this.isOpen = attempt(() => this.port.openVirtualPort(this.name));
      return;
    }
    const names = rawNames(watcher);
    const index = portNames(names, this.#platform).indexOf(this.name);
    if (index < 0) return;
    this.isOpen = attempt(() => this.port.openPort(index)) && this.port.isPortOpen();
    this.#index = index;
    this.#rawName = names[index] ?? '';
    this.#namesakes = names.filter((name) => name === this.#rawName).length;
  }
}

class InputLine extends Line implements InputPort {
  readonly direction = 'in';
  protected readonly port: Input;
  readonly #arrival = createArrivalTime();

  constructor(named: Named, port: Input, clock: Clock, receive: Receive) {
    super(named);
    this.port = port;
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
  protected readonly port: Output;
  readonly #paced: ReturnType<typeof createPacedOutput>;

  constructor(named: Named, port: Output, clock: Clock) {
    super(named);
    this.port = port;
    this.#paced = createPacedOutput(clock, (bytes) => this.#sendNow(bytes));
  }

  /**
   * WinMM refuses what is sent to a device that is gone, before the list says so. The port counts as
   * lost from then on, and the next looks say so and open it again.
   */
  #sendNow(bytes: readonly number[]): void {
    if (!this.isOpen || attempt(() => this.port.sendMessage(Buffer.from(bytes)))) return;
    // Of our own port nobody has to be found again.
    if (!this.isVirtual) this.disconnect();
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
