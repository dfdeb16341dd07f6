/**
 * MPE zones: one player's hand whose notes have a channel each. A keyboard says so by the MPE
 * Configuration Message, registered parameter 6 on channel 1 (the lower zone: channels 2 and up) or 16
 * (the upper: 15 and down), whose data entry is the number of member channels, 0 for no zone. A new
 * zone takes channels from the other where they overlap. Source: MIDI Polyphonic Expression,
 * specification M1-100-UM (MIDI Association, version 1.1, 2022), from memory.
 */
import type { Message } from '../../midi/message.ts';
import { controllers } from '../../midi/specification.ts';

export type Zones = {
  /** Reads what configures zones; anything else is passed over. */
  readonly note: (message: Message, source: number) => void;
  /**
   * The manager channel of the zone that a channel is a member of; undefined: it is of none.
   * @param told by the player, in place of what the keyboard says.
   */
  readonly managerOf: (source: number, channel: number, told?: ToldZone) => number | undefined;
};

export const toldZones = ['lower', 'upper', 'none'] as const;
/** A zone with all member channels, or no zone, for a keyboard that does not configure its own. */
export type ToldZone = (typeof toldZones)[number];

export const managers = { lower: 0, upper: 15 } as const;
const configuration = 6;
const allMembers = 15;
/** With both zones there, each with its manager. */
const sharedMembers = 14;

type Counts = { lower: number; upper: number };

const toldCounts: { readonly [told in ToldZone]: Counts } = {
  lower: { lower: allMembers, upper: 0 },
  upper: { lower: 0, upper: allMembers },
  none: { lower: 0, upper: 0 },
};

export function createZones(): Zones {
  /** By source: how many member channels each zone has. */
  const zones = new Map<number, Counts>();
  /** By source and channel: the registered parameter that is open, and its first half. */
  const open = new Map<number, { high: number; parameter: number | undefined }>();

  const configure = (source: number, channel: number, members: number): void => {
    const own = channel === managers.lower ? 'lower' : 'upper';
    const other = own === 'lower' ? 'upper' : 'lower';
    const counts = zones.get(source) ?? { lower: 0, upper: 0 };
    counts[own] = Math.min(members, allMembers);
    counts[other] = Math.max(0, Math.min(counts[other], sharedMembers - counts[own]));
    zones.set(source, counts);
  };

  return {
    note(message, source) {
      if (message.type !== 'controlChange') return;
      const { channel, controller, value } = message;
      if (channel !== managers.lower && channel !== managers.upper) return;
      const slot = source * 16 + channel;
      const state = open.get(slot) ?? { high: 0x7f, parameter: undefined };
      open.set(slot, state);
      switch (controller) {
        case controllers.registeredParameterHigh:
          state.high = value;
          state.parameter = undefined;
          return;
        case controllers.registeredParameterLow:
          state.parameter = state.high * 128 + value;
          return;
        case controllers.nonRegisteredParameterHigh:
        case controllers.nonRegisteredParameterLow:
          state.parameter = undefined;
          return;
        case controllers.dataEntry:
          if (state.parameter === configuration) configure(source, channel, value);
      }
    },
    managerOf(source, channel, told) {
      const counts = told === undefined ? zones.get(source) : toldCounts[told];
      if (counts === undefined) return undefined;
      if (channel > managers.lower && channel <= counts.lower) return managers.lower;
      return channel < managers.upper && channel >= managers.upper - counts.upper
        ? managers.upper
        : undefined;
    },
  };
}
