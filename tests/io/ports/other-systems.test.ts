/** Ports as macOS and Windows have them, through a binding that behaves as theirs do. */
import { describe, expect, test } from 'vitest';
import type { Result } from '../../../src/common/result.ts';
import { portsOf } from '../../../src/io/ports/midi-ports.ts';
import { createFakeClock } from '../../helpers/fake-clock.ts';
import { createFakeMidiSystem } from '../../helpers/fake-midi-system.ts';

function opened<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(result.problem);
  return result.value;
}

const triad = [0x90, 60, 80];

describe('Windows', () => {
  test('has no virtual ports, and says so', () => {
    const ports = portsOf(createFakeMidiSystem('win32'), createFakeClock());
    expect(ports.isVirtualPossible).toBe(false);
    expect(ports.openVirtualOutput('Handspan out').ok).toBe(false);
  });

  test('a number at the end of a name is part of it', () => {
    const system = createFakeMidiSystem('win32');
    system.plugIn('USB MIDI 2');
    const ports = portsOf(system, createFakeClock());
    expect(ports.inputs()).toEqual(['USB MIDI 2']);
    expect(ports.openInput('USB MIDI 2', () => {}).ok).toBe(true);
  });

  test('a device that refuses what is sent is lost, said, and opened again when it is back', () => {
    const system = createFakeMidiSystem('win32');
    const synth = system.plugIn('Synth');
    const ports = portsOf(system, createFakeClock());
    const output = opened(ports.openOutput('Synth'));
    output.send(triad);
    expect(synth.sent).toEqual([triad]);
    system.unplug(synth);
    expect(() => output.send(triad)).not.toThrow();
    expect(output.state().isOpen).toBe(false);
    expect(ports.poll()).toEqual([{ direction: 'out', name: 'Synth', isOpen: false }]);
    expect(ports.poll()).toEqual([]);
    const again = system.plugIn('Synth');
    expect(ports.poll()).toEqual([{ direction: 'out', name: 'Synth', isOpen: true }]);
    output.send(triad);
    expect(again.sent).toEqual([triad]);
  });

  test('refused in the paced queue, what waits is dropped and nothing throws', () => {
    const system = createFakeMidiSystem('win32');
    const synth = system.plugIn('Synth');
    const clock = createFakeClock();
    const output = opened(portsOf(system, clock).openOutput('Synth'));
    for (let count = 0; count < 300; count += 1) output.send(triad);
    expect(output.waiting()).toBeGreaterThan(0);
    system.unplug(synth);
    expect(() => clock.advanceTo(1_000_000)).not.toThrow();
    expect(output.waiting()).toBe(0);
  });
});

describe('macOS', () => {
  test('with virtual ports alone a look still brings the lists up to date', () => {
    const system = createFakeMidiSystem('darwin');
    const ports = portsOf(system, createFakeClock());
    opened(ports.openVirtualInput('Handspan in', () => {}));
    system.plugIn('Keys');
    ports.poll();
    // Of a watcher that asks for names alone.
    expect(new system.Input().getPortName(0)).toBe('Keys');
  });

  test('of two keyboards of one name the loss of either is seen', () => {
    for (const gone of [0, 1]) {
      const system = createFakeMidiSystem('darwin');
      const devices = [system.plugIn('Keys'), system.plugIn('Keys')];
      const ports = portsOf(system, createFakeClock());
      const heard: string[] = [];
      opened(ports.openInput('Keys', () => heard.push('first')));
      opened(ports.openInput('Keys (2)', () => heard.push('second')));
      const [lost, left] = [devices[gone], devices[1 - gone]];
      if (lost === undefined || left === undefined) throw new Error('no devices');
      system.unplug(lost);
      // Nobody can tell which: both are let go, and the one that is left is opened again.
      expect(ports.poll().map(({ isOpen }) => isOpen)).toEqual([false, false]);
      expect(ports.poll()).toEqual([{ direction: 'in', name: 'Keys', isOpen: true }]);
      system.arrive(left, triad);
      expect(heard).toEqual(['first']);
    }
  });
});

test.each(['darwin', 'win32'] as const)(
  'after a sleep on %s every port is lost and opened again',
  (platform) => {
    const system = createFakeMidiSystem(platform);
    system.plugIn('Keys');
    const ports = portsOf(system, createFakeClock());
    opened(ports.openInput('Keys', () => {}));
    opened(ports.openOutput('Keys'));
    expect(ports.loseAll()).toEqual([
      { direction: 'in', name: 'Keys', isOpen: false },
      { direction: 'out', name: 'Keys', isOpen: false },
    ]);
    expect(ports.poll().map(({ isOpen }) => isOpen)).toEqual([true, true]);
    expect(ports.poll()).toEqual([]);
  },
);
