/**
 * Keys and pedals down at one input, so that they can be let go when that input vanishes: their own
 * releases will never come.
 */

import type { Message } from '../../midi/message.ts';
import { controllers, defaultReleaseVelocity, switchDown } from '../../midi/specification.ts';

const pedals: readonly number[] = [controllers.sustain, controllers.sostenuto, controllers.soft];

export type HeldKeys = {
  readonly isAnyDown: () => boolean;
  readonly record: (message: Message) => void;
  /** A note-off for each key down and a zero for each pedal down; forgets them. */
  readonly takeReleases: () => Message[];
};

export function createHeldKeys(): HeldKeys {
  const releases = new Map<number, Message>();
  return {
    isAnyDown: () => releases.size > 0,
    record(message) {
      if (message.type === 'noteOn' || message.type === 'noteOff') {
        const { channel, note } = message;
        const key = channel * 128 + note;
        if (message.type === 'noteOff') releases.delete(key);
        else
          releases.set(key, { type: 'noteOff', channel, note, velocity: defaultReleaseVelocity });
      } else if (message.type === 'controlChange' && pedals.includes(message.controller)) {
        const { channel, controller } = message;
        const pedal = 16 * 128 + channel * 128 + controller;
        if (message.value < switchDown) releases.delete(pedal);
        else releases.set(pedal, { type: 'controlChange', channel, controller, value: 0 });
      }
    },
    takeReleases() {
      const messages = [...releases.values()];
      releases.clear();
      return messages;
    },
  };
}
