import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { encode, isWholeMessage } from '../../src/midi/encode.ts';
import type { Message } from '../../src/midi/message.ts';
import { messageRows } from '../../src/midi/specification.ts';
import { anyMessage } from './arbitraries.ts';

// Source: MIDI 1.0 Detailed Specification 4.2.1, tables I to VI.
const cases: readonly [Message, readonly number[]][] = [
  [{ type: 'noteOff', channel: 0, note: 60, velocity: 64 }, [0x80, 60, 64]],
  [{ type: 'noteOn', channel: 15, note: 127, velocity: 1 }, [0x9f, 127, 1]],
  [{ type: 'polyphonicKeyPressure', channel: 1, note: 2, pressure: 3 }, [0xa1, 2, 3]],
  [{ type: 'controlChange', channel: 2, controller: 64, value: 127 }, [0xb2, 64, 127]],
  [{ type: 'programChange', channel: 3, program: 9 }, [0xc3, 9]],
  [{ type: 'channelPressure', channel: 4, pressure: 8 }, [0xd4, 8]],
  [{ type: 'pitchBend', channel: 5, value: 8192 }, [0xe5, 0, 64]],
  [{ type: 'systemExclusive', data: [0x7e, 0x7f, 6, 1] }, [0xf0, 0x7e, 0x7f, 6, 1, 0xf7]],
  [{ type: 'timeCodeQuarterFrame', data: 0x71 }, [0xf1, 0x71]],
  [{ type: 'songPosition', sixteenths: 129 }, [0xf2, 1, 1]],
  [{ type: 'songSelect', song: 3 }, [0xf3, 3]],
  [{ type: 'tuneRequest' }, [0xf6]],
  [{ type: 'timingClock' }, [0xf8]],
  [{ type: 'start' }, [0xfa]],
  [{ type: 'continue' }, [0xfb]],
  [{ type: 'stop' }, [0xfc]],
  [{ type: 'activeSensing' }, [0xfe]],
  [{ type: 'systemReset' }, [0xff]],
];

describe('encoding', () => {
  test.each(cases)('%o', (message, bytes) => {
    expect(encode(message)).toEqual(bytes);
    expect(isWholeMessage(bytes)).toBe(true);
  });

  test('every message type has one case here, and one row in the table', () => {
    const types = messageRows.map((row) => row.type);
    expect(new Set(types).size).toBe(types.length);
    expect([...types, 'systemExclusive'].sort()).toEqual(cases.map(([m]) => m.type).sort());
  });

  test.each<[string, Message]>([
    [
      'noteOn.note is 128; must be an integer 0–127',
      { type: 'noteOn', channel: 0, note: 128, velocity: 1 },
    ],
    [
      'noteOn.velocity is 0; must be an integer 1–127',
      { type: 'noteOn', channel: 0, note: 1, velocity: 0 },
    ],
    [
      'noteOff.channel is 16; must be an integer 0–15',
      { type: 'noteOff', channel: 16, note: 1, velocity: 0 },
    ],
    [
      'pitchBend.value is 16384; must be an integer 0–16383',
      { type: 'pitchBend', channel: 0, value: 16_384 },
    ],
    [
      'controlChange.value is 1.5; must be an integer 0–127',
      { type: 'controlChange', channel: 0, controller: 1, value: 1.5 },
    ],
    [
      'programChange.program is NaN; must be an integer 0–127',
      { type: 'programChange', channel: 0, program: Number.NaN },
    ],
    [
      'systemExclusive.data is 128; must be an integer 0–127',
      { type: 'systemExclusive', data: [128] },
    ],
  ])('%s', (problem, message) => {
    expect(() => encode(message)).toThrow(new RangeError(problem));
  });
});

describe('whole messages', () => {
  // The first three are what a system interface was seen to misread.
  test.each<[string, number[]]>([
    ['data bytes out of range', [0x90, 200, 300]],
    ['no byte at all', [-1]],
    ['a message cut short', [0x90, 60]],
    ['data without status', [0x40]],
    ['nothing', []],
    ['two messages at once', [0x90, 60, 1, 0x90, 62, 1]],
    ['SysEx without end', [0xf0, 1]],
    ['SysEx with a status inside', [0xf0, 0x90, 0xf7]],
    ['a lone F0', [0xf0]],
    ['undefined status', [0xf4]],
    ['a lone EOX', [0xf7]],
  ])('not %s', (_name, bytes) => {
    expect(isWholeMessage(bytes)).toBe(false);
  });

  test('whatever encode returns', () => {
    fc.assert(fc.property(anyMessage, (message) => isWholeMessage(encode(message))));
  });
});
