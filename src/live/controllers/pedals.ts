/**
 * The pedals as the output knows them: what was last sent for sustain, sostenuto and soft on each
 * channel. A note-off under a pedal left down is a stuck note, so whoever lets go releases these
 * too. Half-pedal values are kept as they are.
 */

import type { Message } from '../../midi/message.ts';
import { controllers } from '../../midi/specification.ts';

export const pedalControllers = [
  controllers.sustain,
  controllers.sostenuto,
  controllers.soft,
] as const;

export type Pedals = {
  /** A message that goes out; remembers it when it is a pedal's. */
  readonly note: (message: Message) => void;
  /** Brings a channel to what another has. */
  readonly copy: (from: number, to: number, out: Message[]) => void;
  /** Every pedal up, on every channel or on one. */
  readonly release: (out: Message[], channel?: number) => void;
};

export function createPedals(): Pedals {
  const values = new Uint8Array(16 * 128);

  const send = (channel: number, controller: number, value: number, out: Message[]): void => {
    values[channel * 128 + controller] = value;
    out.push({ type: 'controlChange', channel, controller, value });
  };

  return {
    note(message) {
      if (message.type !== 'controlChange') return;
      const { channel, controller, value } = message;
      if (pedalControllers.some((pedal) => pedal === controller)) {
        values[channel * 128 + controller] = value;
      }
      // Reset All Controllers lifts every pedal (MIDI 1.0, RP-015).
      if (controller === controllers.resetAll) {
        for (const pedal of pedalControllers) values[channel * 128 + pedal] = 0;
      }
    },
    copy(from, to, out) {
      for (const pedal of pedalControllers) {
        const wanted = values[from * 128 + pedal] ?? 0;
        if (wanted !== values[to * 128 + pedal]) send(to, pedal, wanted, out);
      }
    },
    release(out, only) {
      for (let channel = 0; channel < 16; channel += 1) {
        if (only !== undefined && channel !== only) continue;
        for (const pedal of pedalControllers) {
          if (values[channel * 128 + pedal] !== 0) send(channel, pedal, 0, out);
        }
      }
    },
  };
}
