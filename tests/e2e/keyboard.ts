/**
 * A keyboard that can be plugged in and out: an output port of this process, through the binding.
 * What is played is bytes; what they become is judged by others' ears.
 */
import { Output } from '@julusian/midi/lazy';
import { findPort, waitFor } from './sequencer.ts';

export type Keyboard = {
  readonly send: (...messages: readonly (readonly number[])[]) => void;
  /** All these keys at once, velocity 80, channel 1. */
  readonly press: (...notes: readonly number[]) => void;
  readonly lift: (...notes: readonly number[]) => void;
  /** The port vanishes as when the cable is pulled: no release is sent. */
  readonly unplug: () => void;
};

const plugged = new Set<Output>();

/** Resolves when somebody listens to it, unless that is not waited for. */
export function plugIn(name: string): Keyboard {
  const port = new Output();
  port.openVirtualPort(name);
  plugged.add(port);
  const send = (...messages: readonly (readonly number[])[]) => {
    for (const message of messages) port.sendMessage([...message]);
  };
  return {
    send,
    press: (...notes) => send(...notes.map((note) => [0x90, note, 80])),
    lift: (...notes) => send(...notes.map((note) => [0x80, note, 64])),
    unplug: () => {
      plugged.delete(port);
      port.destroy();
    },
  };
}

/** For the end of a test, failed or not. */
export function unplugAll(): void {
  for (const port of plugged) port.destroy();
  plugged.clear();
}

export async function waitForListener(name: string): Promise<void> {
  await waitFor(`a listener to '${name}'`, () => findPort(name)?.readers[0]);
}
