import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { exclusiveEvent, writeStandardMidiFile } from '../../src/midi/standard-midi-file.ts';

describe('delta times', () => {
  // The table of variable-length quantities in Standard MIDI Files 1.0 (RP-001).
  test.each([
    [0x00000000, [0x00]],
    [0x00000040, [0x40]],
    [0x0000007f, [0x7f]],
    [0x00000080, [0x81, 0x00]],
    [0x00002000, [0xc0, 0x00]],
    [0x00003fff, [0xff, 0x7f]],
    [0x00004000, [0x81, 0x80, 0x00]],
    [0x00100000, [0xc0, 0x80, 0x00]],
    [0x001fffff, [0xff, 0xff, 0x7f]],
    [0x00200000, [0x81, 0x80, 0x80, 0x00]],
    [0x08000000, [0xc0, 0x80, 0x80, 0x00]],
    [0x0fffffff, [0xff, 0xff, 0xff, 0x7f]],
  ])('%i', (tick, quantity) => {
    const file = writeStandardMidiFile([[{ tick, bytes: [0xc0, 5] }]], 96);
    const track = [...quantity, 0xc0, 5, 0x00, 0xff, 0x2f, 0x00];
    // MThd, 6 bytes: format 1, one track, division 96; MTrk, length, events.
    expect([...file]).toEqual([
      ...[0x4d, 0x54, 0x68, 0x64, 0, 0, 0, 6, 0, 1, 0, 1, 0, 96],
      ...[0x4d, 0x54, 0x72, 0x6b, 0, 0, 0, track.length],
      ...track,
    ]);
  });
});

test('events out of order are put in order, those of one tick stay', () => {
  const at = (tick: number, program: number) => ({ tick, bytes: [0xc0, program] });
  const file = writeStandardMidiFile([[at(9, 1), at(3, 2), at(9, 3), at(3, 4)]], 480);
  const programs = parseMidi(file).tracks[0]?.flatMap((event) =>
    event.type === 'programChange' ? [[event.deltaTime, event.programNumber]] : [],
  );
  expect(programs).toEqual([
    [3, 2],
    [0, 4],
    [6, 1],
    [0, 3],
  ]);
});

test('a long SysEx has its length in two bytes', () => {
  const data = new Array<number>(300).fill(7);
  expect(exclusiveEvent([0xf0, ...data, 0xf7]).slice(0, 4)).toEqual([0xf0, 0x82, 0x2d, 7]);
  expect(() => exclusiveEvent([0xf0, 7])).toThrow('a SysEx begins with F0 and ends with F7');
});
