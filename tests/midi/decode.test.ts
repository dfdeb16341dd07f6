import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createDecoder, longestExclusive } from '../../src/midi/decode.ts';
import { encode } from '../../src/midi/encode.ts';
import type { Message } from '../../src/midi/message.ts';
import { anyMessage, realTimeMessage } from './arbitraries.ts';

const on = (note: number, velocity = 100, channel = 0): Message => ({
  type: 'noteOn',
  channel,
  note,
  velocity,
});
const off = (note: number, velocity = 64, channel = 0): Message => ({
  type: 'noteOff',
  channel,
  note,
  velocity,
});
const clock: Message = { type: 'timingClock' };
const exclusive = (...data: number[]): Message => ({ type: 'systemExclusive', data });

// Source of every row: MIDI 1.0 Detailed Specification 4.2.1; the section is named in the row.
const cases: readonly [string, readonly number[], readonly Message[]][] = [
  ['note-on, channel 1 on the wire is 0', [0x90, 60, 100], [on(60)]],
  ['note-on on channel 16', [0x9f, 60, 1], [on(60, 1, 15)]],
  ['note-on velocity 0 is a note-off with velocity 64 (Note-Off)', [0x90, 60, 0], [off(60)]],
  ['a real note-off keeps its release velocity 0', [0x80, 60, 0], [off(60, 0)]],
  [
    'running status over three notes (Running Status)',
    [0x90, 60, 9, 64, 9, 67, 9],
    [on(60, 9), on(64, 9), on(67, 9)],
  ],
  ['running status with velocity 0 as release', [0x90, 60, 9, 60, 0], [on(60, 9), off(60)]],
  [
    'running status on one-byte data',
    [0xc2, 5, 6],
    [
      { type: 'programChange', channel: 2, program: 5 },
      { type: 'programChange', channel: 2, program: 6 },
    ],
  ],
  ['clock between status and data (System Real Time)', [0x90, 0xf8, 60, 100], [clock, on(60)]],
  ['clock between two data bytes', [0x90, 60, 0xf8, 100], [clock, on(60)]],
  [
    'clock between messages leaves running status alone',
    [0x90, 60, 9, 0xf8, 64, 9],
    [on(60, 9), clock, on(64, 9)],
  ],
  ['clock inside SysEx', [0xf0, 1, 0xf8, 2, 0xf7], [clock, exclusive(1, 2)]],
  [
    'undefined real-time F9 and FD are ignored everywhere',
    [0xf9, 0x90, 0xfd, 60, 0xf9, 100],
    [on(60)],
  ],
  [
    'active sensing and reset are messages',
    [0xfe, 0xff],
    [{ type: 'activeSensing' }, { type: 'systemReset' }],
  ],
  ['SysEx clears running status', [0x90, 60, 9, 0xf0, 1, 0xf7, 64, 9], [on(60, 9), exclusive(1)]],
  [
    'song select clears running status',
    [0x90, 60, 9, 0xf3, 4, 64, 9],
    [on(60, 9), { type: 'songSelect', song: 4 }],
  ],
  [
    'tune request clears running status',
    [0x90, 60, 9, 0xf6, 64, 9],
    [on(60, 9), { type: 'tuneRequest' }],
  ],
  [
    'undefined F4 clears running status, its data is ignored',
    [0x90, 60, 9, 0xf4, 64, 9],
    [on(60, 9)],
  ],
  ['undefined F5 drops a message begun', [0x90, 60, 0xf5, 100], []],
  ['stray data bytes at the start', [60, 100, 0x90, 62, 9], [on(62, 9)]],
  ['a lone EOX is ignored', [0xf7, 0x90, 60, 100], [on(60)]],
  ['a new status drops an unfinished message', [0x90, 60, 0x80, 60, 3], [off(60, 3)]],
  [
    'a status ends SysEx (System Exclusive)',
    [0xf0, 1, 2, 0x90, 60, 100],
    [exclusive(1, 2), on(60)],
  ],
  ['F0 ends SysEx and begins the next', [0xf0, 1, 0xf0, 2, 0xf7], [exclusive(1), exclusive(2)]],
  ['empty SysEx', [0xf0, 0xf7], [exclusive()]],
  [
    'pitch bend, least significant first; centre',
    [0xe0, 0x00, 0x40],
    [{ type: 'pitchBend', channel: 0, value: 8192 }],
  ],
  ['pitch bend, highest', [0xe3, 0x7f, 0x7f], [{ type: 'pitchBend', channel: 3, value: 16_383 }]],
  ['song position', [0xf2, 0x08, 0x01], [{ type: 'songPosition', sixteenths: 136 }]],
  [
    'quarter frame has no running status',
    [0xf1, 0x31, 0x32],
    [{ type: 'timeCodeQuarterFrame', data: 0x31 }],
  ],
  [
    'poly and channel pressure',
    [0xa0, 60, 5, 0xd1, 7],
    [
      { type: 'polyphonicKeyPressure', channel: 0, note: 60, pressure: 5 },
      { type: 'channelPressure', channel: 1, pressure: 7 },
    ],
  ],
  ['values that are no bytes are ignored', [0x90, -1, 60, 256, 1.5, Number.NaN, 100], [on(60)]],
];

describe('decoding a stream', () => {
  test.each(cases)('%s', (_name, bytes, expected) => {
    expect(createDecoder().push(bytes)).toEqual(expected);
  });

  test.each(cases)('%s, byte by byte', (_name, bytes, expected) => {
    const decoder = createDecoder();
    expect(bytes.flatMap((byte) => decoder.push([byte]))).toEqual(expected);
  });

  test('a SysEx past the bound is dropped whole, and the stream goes on', () => {
    const decoder = createDecoder();
    expect(decoder.push([0xf0])).toEqual([]);
    expect(decoder.push(new Uint8Array(longestExclusive + 1))).toEqual([]);
    expect(decoder.push([0xf7, 0x90, 60, 100])).toEqual([on(60)]);
    const longest = decoder.push([0xf0, ...new Uint8Array(longestExclusive), 0xf7]);
    expect(longest).toHaveLength(1);
  });

  test('reset forgets the message begun and the running status', () => {
    const decoder = createDecoder();
    decoder.push([0x90, 60]);
    decoder.reset();
    expect(decoder.push([100, 62, 9])).toEqual([]);
    decoder.push([0xf0, 1]);
    decoder.reset();
    expect(decoder.push([0xf7, 0xb0, 7, 3])).toEqual([
      { type: 'controlChange', channel: 0, controller: 7, value: 3 },
    ]);
  });
});

/** Cuts `bytes` at the given places, whatever they are. */
function chunks(bytes: readonly number[], cuts: readonly number[]): number[][] {
  const places = [...new Set(cuts.map((cut) => cut % (bytes.length + 1)))].sort((a, b) => a - b);
  return [...places, bytes.length].map((end, i) => bytes.slice(places[i - 1] ?? 0, end));
}

describe('properties', () => {
  test('decode(encode(m)) is m, in any chunks', () => {
    fc.assert(
      fc.property(fc.array(anyMessage), fc.array(fc.nat()), (messages, cuts) => {
        const decoder = createDecoder();
        const bytes = messages.flatMap((message) => encode(message));
        expect(chunks(bytes, cuts).flatMap((chunk) => decoder.push(chunk))).toEqual(messages);
      }),
    );
  });

  test('real-time bytes between any two bytes change nothing but their own place', () => {
    const dice = fc.array(fc.tuple(fc.nat(), realTimeMessage), { maxLength: 12 });
    fc.assert(
      fc.property(fc.array(anyMessage), dice, (messages, inserted) => {
        const bytes = messages.flatMap((message) => encode(message));
        for (const [place, message] of inserted) {
          bytes.splice(place % (bytes.length + 1), 0, ...encode(message));
        }
        const isRealTime = (m: Message) => (encode(m)[0] ?? 0) >= 0xf8;
        const decoded = createDecoder().push(bytes);
        expect(decoded.filter((m) => !isRealTime(m))).toEqual(
          messages.filter((m) => !isRealTime(m)),
        );
        expect(decoded.filter(isRealTime)).toHaveLength(
          messages.filter(isRealTime).length + inserted.length,
        );
      }),
    );
  });

  test('running status: leaving out repeated channel statuses changes nothing', () => {
    fc.assert(
      fc.property(fc.array(anyMessage), (messages) => {
        let running = 0;
        const bytes = messages.flatMap((message) => {
          const [status = 0, ...data] = encode(message);
          if (status >= 0xf8) return [status];
          const isRepeated = status === running;
          running = status < 0xf0 ? status : 0;
          return isRepeated ? data : [status, ...data];
        });
        expect(createDecoder().push(bytes)).toEqual(messages);
      }),
    );
  });

  test('garbage never throws, and whatever comes out can be encoded', () => {
    const anything = fc.oneof(fc.integer({ min: 0, max: 255 }), fc.integer(), fc.double());
    fc.assert(
      fc.property(fc.array(anything, { maxLength: 200 }), (bytes) => {
        for (const message of createDecoder().push(bytes)) encode(message);
      }),
    );
  });
});
