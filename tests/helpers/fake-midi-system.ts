/**
 * A MIDI binding as it behaves on macOS and Windows, from its source and RtMidi's, since neither
 * system is at hand: CoreMIDI's lists are brought up to date only where somebody asks for their
 * length; WinMM throws at what is sent to a device that is gone.
 */
import { EventEmitter } from 'node:events';
import type { MidiSystem } from '../../src/io/ports/midi-ports.ts';

type Device = { readonly name: string; isThere: boolean; readonly sent: number[][] };

export type FakeMidiSystem = MidiSystem & {
  readonly plugIn: (name: string) => Device;
  readonly unplug: (device: Device) => void;
  /** Bytes from the device, to whoever has opened it. */
  readonly arrive: (device: Device, bytes: readonly number[]) => void;
};

export function createFakeMidiSystem(platform: 'darwin' | 'win32'): FakeMidiSystem {
  const devices: Device[] = [];
  let listed: readonly Device[] = [];
  const inputs = new Map<Input, Device>();
  const lookAgain = () => {
    listed = devices.filter(({ isThere }) => isThere);
  };

  class Port extends EventEmitter {
    device: Device | undefined;
    getPortCount() {
      lookAgain();
      return listed.length;
    }
    getPortName(port: number) {
      return listed[port]?.name ?? '';
    }
    isPortOpen() {
      return this.device !== undefined;
    }
    openPort(port: number) {
      this.device = listed[port];
    }
    openVirtualPort() {
      if (platform === 'win32') throw new Error('not implemented in the Windows MM API');
    }
    closePort() {
      this.device = undefined;
    }
    destroy() {
      this.closePort();
    }
    ignoreTypes() {}
  }
  class Input extends Port {
    override openPort(port: number) {
      super.openPort(port);
      if (this.device !== undefined) inputs.set(this, this.device);
    }
    override closePort() {
      super.closePort();
      inputs.delete(this);
    }
  }
  class Output extends Port {
    sendMessage(bytes: Buffer) {
      if (this.device?.isThere === false) throw new Error('error sending MIDI message');
      this.device?.sent.push([...bytes]);
    }
  }

  return {
    platform,
    Input: Input as unknown as MidiSystem['Input'],
    Output: Output as unknown as MidiSystem['Output'],
    plugIn(name) {
      const device: Device = { name, isThere: true, sent: [] };
      devices.push(device);
      return device;
    },
    unplug(device) {
      device.isThere = false;
    },
    arrive(device, bytes) {
      for (const [input, heard] of inputs) {
        if (heard === device) input.emit('messageBuffer', 0, Buffer.from(bytes));
      }
    },
  };
}
