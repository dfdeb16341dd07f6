/** What a channel has been told, as far as it changes the sound. */
import { controllers, pitchBendCentre, switchDown } from '../midi/specification.ts';
import type { TimbreName } from './timbre.ts';

export type Channel = {
  isPedalDown: boolean;
  timbre: TimbreName;
  /** Semitones. */
  bend: number;
  bendRange: number;
  /** The registered parameter that data entry is for: 0 is the range of the bend. */
  parameter: number | undefined;
  volume: number;
  expression: number;
};

const widestBend = 24;

export function newChannel(timbre: TimbreName): Channel {
  return {
    isPedalDown: false,
    timbre,
    bend: 0,
    bendRange: 2,
    parameter: undefined,
    volume: 100,
    expression: 127,
  };
}

/** Keeps what a controller says. Source: MIDI 1.0, table III and "Registered Parameter Numbers". */
export function turn(channel: Channel, controller: number, value: number): void {
  switch (controller) {
    case controllers.dataEntry:
      if (channel.parameter === 0) channel.bendRange = Math.min(widestBend, value);
      break;
    case controllers.volume:
      channel.volume = value;
      break;
    case controllers.expression:
      channel.expression = value;
      break;
    case controllers.sustain:
      channel.isPedalDown = value >= switchDown;
      break;
    case controllers.nonRegisteredParameterLow:
    case controllers.nonRegisteredParameterHigh:
      channel.parameter = undefined;
      break;
    case controllers.registeredParameterLow:
      channel.parameter = value;
      break;
    case controllers.registeredParameterHigh:
      // Its high byte comes first.
      channel.parameter = undefined;
      break;
    case controllers.resetAll:
      // Recommended Practice RP-015: neither volume nor program, nor the range of the bend.
      Object.assign(channel, {
        isPedalDown: false,
        bend: 0,
        expression: 127,
        parameter: undefined,
      });
      break;
    default:
  }
}

/**
 * The squares of General MIDI Level 2 (RP-024), "Channel Volume" and "Expression"; 1 at the usual 100
 * and 127, at which a file that says nothing plays.
 */
export function gainOf({ volume, expression }: Channel): number {
  return (volume / 100) ** 2 * (expression / 127) ** 2;
}

/** Semitones. @param value 14 bits. */
export function bendOf(value: number, { bendRange }: Channel): number {
  return ((value - pitchBendCentre) / pitchBendCentre) * bendRange;
}

/** Hertz. */
export function bent(frequency: number, { bend }: Channel): number {
  return frequency * 2 ** (bend / 12);
}
