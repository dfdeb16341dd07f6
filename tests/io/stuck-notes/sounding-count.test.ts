import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createSoundingCount, endingOf } from '../../../src/io/stuck-notes/sounding-count.ts';
import { encode } from '../../../src/midi/encode.ts';
import type { Message } from '../../../src/midi/message.ts';
import { anyMessage } from '../../midi/arbitraries.ts';

const on = (channel: number, note: number): Message => ({
  type: 'noteOn',
  channel,
  note,
  velocity: 90,
});
const control = (channel: number, controller: number, value: number): Message => ({
  type: 'controlChange',
  channel,
  controller,
  value,
});

function counted(...messages: readonly Message[]) {
  const count = createSoundingCount();
  for (const message of messages) count.record(message);
  return count;
}

describe('what is open', () => {
  test('notes as often as they were sent, pedals from 64 up (MIDI 1.0, table III)', () => {
    const count = counted(on(1, 60), on(0, 64), on(1, 60), control(2, 64, 64), control(3, 64, 63));
    expect(count.open()).toEqual({
      notes: [
        { channel: 0, note: 64 },
        { channel: 1, note: 60 },
        { channel: 1, note: 60 },
      ],
      pedals: [{ channel: 2, controller: 64 }],
    });
  });

  test('a pedal goes up by itself or by Reset All Controllers (MIDI 1.0, RP-015)', () => {
    const down = [control(0, 64, 127), control(0, 66, 127)];
    expect(counted(...down, control(0, 64, 0)).open().pedals).toEqual([
      { channel: 0, controller: 66 },
    ]);
    expect(counted(...down, control(0, 121, 0)).open().pedals).toEqual([]);
  });

  test('its changes are told, and nothing else', () => {
    const count = counted(on(0, 60));
    const before = count.changes();
    for (const message of [control(0, 1, 99), control(0, 64, 10)]) count.record(message);
    count.record({ type: 'timingClock' });
    expect(count.changes()).toEqual(before);
    count.record(control(0, 64, 100));
    expect(count.changes()).toEqual({ on: before.on + 1, off: before.off });
    for (let i = 0; i < 2; i += 1) {
      count.record({ type: 'noteOff', channel: 0, note: 60, velocity: 64 });
    }
    expect(count.changes()).toEqual({ on: before.on + 1, off: before.off + 1 });
  });
});

test('what was on for a moment is told once, what is on each time', () => {
  const count = counted(on(0, 60), on(0, 64), control(0, 64, 127));
  count.record({ type: 'noteOff', channel: 0, note: 60, velocity: 64 });
  count.record(control(0, 64, 0));
  expect(count.takeTouched()).toEqual({
    notes: [
      { channel: 0, note: 60 },
      { channel: 0, note: 64 },
    ],
    pedals: [{ channel: 0, controller: 64 }],
  });
  expect(count.takeTouched()).toEqual({ notes: [{ channel: 0, note: 64 }], pedals: [] });
});

describe('the ending', () => {
  test('note-offs, pedals up, All Notes Off (MIDI 1.0: 64, 66 and 123), on the channels in question', () => {
    const { open } = counted(on(3, 60), on(3, 67), control(1, 66, 127));
    expect(endingOf(open()).map((message) => encode(message).join(' '))).toEqual([
      '131 60 64',
      '131 67 64',
      '177 66 0',
      '177 64 0',
      '177 123 0',
      '179 64 0',
      '179 123 0',
    ]);
  });

  test('silence needs none', () => {
    expect(endingOf(counted().open())).toEqual([]);
  });

  test('whatever was sent, it leaves nothing open', () => {
    fc.assert(
      fc.property(fc.array(anyMessage), (messages) => {
        const count = counted(...messages);
        for (const message of endingOf(count.open())) count.record(message);
        expect(count.open()).toEqual({ notes: [], pedals: [] });
      }),
    );
  });
});
