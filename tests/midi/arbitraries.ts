/** Any MIDI 1.0 message, built by hand from message.ts and not from the table under test. */
import * as fc from 'fast-check';
import type { Message, RealTimeMessage } from '../../src/midi/message.ts';

const channel = fc.integer({ min: 0, max: 15 });
const data = fc.integer({ min: 0, max: 127 });
const word = fc.integer({ min: 0, max: 16_383 });
const is = <T extends Message['type']>(type: T) => fc.constant(type);

export const realTimeMessage: fc.Arbitrary<RealTimeMessage> = fc.constantFrom(
  { type: 'timingClock' },
  { type: 'start' },
  { type: 'continue' },
  { type: 'stop' },
  { type: 'activeSensing' },
  { type: 'systemReset' },
);

export const anyMessage: fc.Arbitrary<Message> = fc.oneof(
  fc.record({ type: is('noteOff'), channel, note: data, velocity: data }),
  fc.record({
    type: is('noteOn'),
    channel,
    note: data,
    velocity: fc.integer({ min: 1, max: 127 }),
  }),
  fc.record({ type: is('polyphonicKeyPressure'), channel, note: data, pressure: data }),
  fc.record({ type: is('controlChange'), channel, controller: data, value: data }),
  fc.record({ type: is('programChange'), channel, program: data }),
  fc.record({ type: is('channelPressure'), channel, pressure: data }),
  fc.record({ type: is('pitchBend'), channel, value: word }),
  fc.record({ type: is('systemExclusive'), data: fc.array(data, { maxLength: 40 }) }),
  fc.record({ type: is('timeCodeQuarterFrame'), data }),
  fc.record({ type: is('songPosition'), sixteenths: word }),
  fc.record({ type: is('songSelect'), song: data }),
  fc.record({ type: is('tuneRequest') }),
  realTimeMessage,
);
