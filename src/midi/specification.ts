/**
 * MIDI 1.0 as one table: status byte, and the data bytes that follow as named fields. Decoding,
 * encoding and every check are derived from it; there is no second list of statuses.
 *
 * Source: MIDI 1.0 Detailed Specification (MIDI Manufacturers Association, 4.2.1), tables I to VI.
 * Clauses quoted in this room are given in our own words, with the name of their section.
 */
import type { Message } from './message.ts';

/** Numbers of the controllers that are more than a value to pass on (tables III and IV). */
export const controllers = {
  dataEntry: 6,
  volume: 7,
  expression: 11,
  sustain: 64,
  sostenuto: 66,
  soft: 67,
  /** Brightness; the third dimension of a note in an MPE zone. */
  timbre: 74,
  nonRegisteredParameterLow: 98,
  nonRegisteredParameterHigh: 99,
  registeredParameterLow: 100,
  registeredParameterHigh: 101,
  allSoundOff: 120,
  resetAll: 121,
  allNotesOff: 123,
  polyMode: 127,
} as const;
/** From here up a controller is a channel mode message. */
export const firstModeController = 120;
/** A pedal or switch is down from this value up. */
export const switchDown = 64;

/** Channels count from 0 here. General MIDI 1 keeps channel 10 for percussion. */
export const percussionChannel = 9;

export type Field = {
  readonly name: string;
  /** One data byte carries 7 bits; 14 bits take two, least significant first. */
  readonly bits: 7 | 14;
  /** Lowest value a message may have; the highest follows from `bits`. */
  readonly lowest: number;
};

export type MessageRow = {
  readonly type: Exclude<Message['type'], 'systemExclusive'>;
  /** For channel messages the status with channel 0. */
  readonly status: number;
  readonly category: 'channel' | 'system common' | 'system real-time';
  readonly fields: readonly Field[];
  /** Data bytes after the status. */
  readonly length: number;
};

const seven = (name: string, lowest = 0): Field => ({ name, bits: 7, lowest });
const fourteen = (name: string): Field => ({ name, bits: 14, lowest: 0 });

function row(
  status: number,
  category: MessageRow['category'],
  type: MessageRow['type'],
  ...fields: Field[]
): MessageRow {
  const length = fields.reduce((sum, field) => sum + field.bits / 7, 0);
  return { type, status, category, fields, length };
}

export const messageRows: readonly MessageRow[] = [
  row(0x80, 'channel', 'noteOff', seven('note'), seven('velocity')),
  // "Note On" with velocity 0 is a note-off (section "Note-On"), so the value starts at 1.
  row(0x90, 'channel', 'noteOn', seven('note'), seven('velocity', 1)),
  row(0xa0, 'channel', 'polyphonicKeyPressure', seven('note'), seven('pressure')),
  row(0xb0, 'channel', 'controlChange', seven('controller'), seven('value')),
  row(0xc0, 'channel', 'programChange', seven('program')),
  row(0xd0, 'channel', 'channelPressure', seven('pressure')),
  row(0xe0, 'channel', 'pitchBend', fourteen('value')),
  row(0xf1, 'system common', 'timeCodeQuarterFrame', seven('data')),
  row(0xf2, 'system common', 'songPosition', fourteen('sixteenths')),
  row(0xf3, 'system common', 'songSelect', seven('song')),
  row(0xf6, 'system common', 'tuneRequest'),
  row(0xf8, 'system real-time', 'timingClock'),
  row(0xfa, 'system real-time', 'start'),
  row(0xfb, 'system real-time', 'continue'),
  row(0xfc, 'system real-time', 'stop'),
  row(0xfe, 'system real-time', 'activeSensing'),
  row(0xff, 'system real-time', 'systemReset'),
];

export const systemExclusiveStatus = 0xf0;
export const endOfExclusiveStatus = 0xf7;
/** From here up a byte is real-time: it may stand anywhere and disturbs nothing. */
export const firstSystemStatus = 0xf0;
export const firstRealTimeStatus = 0xf8;
/** Velocity of a note-off that came as a note-on with velocity 0 (section "Note-Off"). */
export const defaultReleaseVelocity = 64;
/** Pitch bend at rest. */
export const pitchBendCentre = 0x2000;

const byStatus: readonly (MessageRow | undefined)[] = Array.from({ length: 256 }, (_, status) => {
  const wanted = status < 0xf0 ? status & 0xf0 : status;
  return messageRows.find((candidate) => candidate.status === wanted);
});

const byType: ReadonlyMap<string, MessageRow> = new Map(messageRows.map((r) => [r.type, r]));

/** The row of a status byte, channel included; undefined for data, SysEx and undefined statuses. */
export function rowOfStatus(status: number): MessageRow | undefined {
  return byStatus[status];
}

/** The row of a message type; undefined for a type that MIDI 1.0 does not have. */
export function rowOfType(type: string): MessageRow | undefined {
  return byType.get(type);
}

export function isByte(value: unknown): value is number {
  return typeof value === 'number' && Number.isInteger(value) && value >= 0 && value <= 0xff;
}
