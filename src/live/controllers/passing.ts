/**
 * Everything that is no note on its way out: controllers reach every channel that sounds voices,
 * and the pedals are remembered, because a note-off under a pedal left down is a stuck note.
 */

import type { Message } from '../../midi/message.ts';
import { controllers } from '../../midi/specification.ts';
import type { Playing } from '../../presets/playing.ts';
import { controllerChannels } from '../out-channels.ts';
import { createControlValues } from './control-values.ts';
import { createPedals } from './pedals.ts';

/** How voices are laid out: what decides where a controller goes. */
export type Layout = { readonly playing: Playing; readonly voices: number };

export type Passing = {
  readonly forward: (message: Message, layout: Layout, out: Message[]) => void;
  /** On its own channel alone. */
  readonly send: (message: Message, out: Message[]) => void;
  /** Pedals and controllers follow the voices of the player on `played` to their new channels. */
  readonly move: (before: Layout, after: Layout, played: number, out: Message[]) => void;
  /** Every pedal up. */
  readonly release: (out: Message[]) => void;
  /** All Notes Off and sustain off on each of these channels, then every pedal up. */
  readonly silence: (channels: readonly number[], out: Message[]) => void;
};

export function createPassing(): Passing {
  const pedals = createPedals();
  const values = createControlValues();

  const send = (message: Message, out: Message[]): void => {
    pedals.note(message);
    values.note(message);
    out.push(message);
  };

  const isSpread = (message: Message): boolean =>
    message.type === 'controlChange' ||
    message.type === 'channelPressure' ||
    message.type === 'pitchBend';

  return {
    send,
    forward(message, { playing, voices }, out) {
      if (!isSpread(message) || !('channel' in message)) {
        send(message, out);
        return;
      }
      for (const channel of controllerChannels(playing, voices, message.channel)) {
        send({ ...message, channel }, out);
      }
    },
    move(before, after, played, out) {
      const channels = controllerChannels(after.playing, after.voices, played);
      for (const channel of channels) {
        if (channel === played) continue;
        values.copy(played, channel, out);
        pedals.copy(played, channel, out);
      }
      for (const channel of controllerChannels(before.playing, before.voices, played)) {
        if (channels.includes(channel)) continue;
        pedals.release(out, channel);
        values.rest(channel, out);
      }
    },
    release: (out) => pedals.release(out),
    silence(channels, out) {
      for (const channel of channels) {
        for (const number of [controllers.allNotesOff, controllers.sustain]) {
          send({ type: 'controlChange', channel, controller: number, value: 0 }, out);
        }
      }
      pedals.release(out);
    },
  };
}
