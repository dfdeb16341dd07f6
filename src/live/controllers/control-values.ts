/**
 * What the player last set on each channel besides notes, so that voices which move to channels of
 * their own sound as loud, as bright and as bent there. Pedals are in pedals.ts: they hold notes.
 *
 * Only continuous controllers (MIDI 1.0, table III): bank select, data entry and parameter numbers
 * belong to a sequence of messages, and 120–127 are mode messages.
 */
import type { Message } from '../../midi/message.ts';
import { controllers, firstModeController, pitchBendCentre } from '../../midi/specification.ts';
import { pedalControllers } from './pedals.ts';

/** What Reset All Controllers puts to rest here; volume and pan stay (MIDI 1.0, RP-015). */
const resetSlots = ['pitchBend', 'channelPressure', 'controller 1', 'controller 11'];
const inSequence = new Set([0, 6, 32, 38, 96, 97, 98, 99, 100, 101]);

export type ControlValues = {
  /** A message that goes out. */
  readonly note: (message: Message) => void;
  /** Brings a channel to what another has; what was never set there is left alone. */
  readonly copy: (from: number, to: number, out: Message[]) => void;
  /** Bend and pressure back to rest on a channel that voices leave: nobody will move them again. */
  readonly rest: (channel: number, out: Message[]) => void;
};

function isContinuous(controller: number): boolean {
  const isPedal = pedalControllers.some((pedal) => pedal === controller);
  return controller < firstModeController && !inSequence.has(controller) && !isPedal;
}

/** One name for each thing that has a value on a channel. */
function slotOf(message: Message): string | undefined {
  if (message.type === 'pitchBend' || message.type === 'channelPressure') return message.type;
  if (message.type !== 'controlChange' || !isContinuous(message.controller)) return undefined;
  return `controller ${message.controller}`;
}

function levelOf(message: Message | undefined): number | undefined {
  if (message === undefined) return undefined;
  if ('pressure' in message) return message.pressure;
  return 'value' in message ? message.value : undefined;
}

export function createControlValues(): ControlValues {
  const channels = Array.from({ length: 16 }, () => new Map<string, Message>());

  const note = (message: Message): void => {
    if (!('channel' in message)) return;
    const values = channels[message.channel];
    if (message.type === 'controlChange' && message.controller === controllers.resetAll) {
      for (const slot of resetSlots) values?.delete(slot);
    }
    const slot = slotOf(message);
    if (slot !== undefined) values?.set(slot, message);
  };

  return {
    note,
    copy(from, to, out) {
      for (const [slot, message] of channels[from] ?? []) {
        if (!('channel' in message)) continue;
        if (levelOf(message) === levelOf(channels[to]?.get(slot))) continue;
        const moved = { ...message, channel: to };
        note(moved);
        out.push(moved);
      }
    },
    rest(channel, out) {
      const values = channels[channel];
      const ways: Message[] = [
        { type: 'pitchBend', channel, value: pitchBendCentre },
        { type: 'channelPressure', channel, pressure: 0 },
      ];
      for (const way of ways) {
        const present = levelOf(values?.get(way.type));
        if (present === undefined || present === levelOf(way)) continue;
        note(way);
        out.push(way);
      }
    },
  };
}
