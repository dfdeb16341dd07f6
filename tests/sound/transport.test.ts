/** The transport: what is handed out when, over pauses, steps, loops and a count-in. */
import { expect, test } from 'vitest';
import { createTransport, type Due, type Piece } from '../../src/sound/transport.ts';

/** Four chords of a second, each a note held for all of it. */
const piece: Piece = {
  events: [60, 62, 64, 65]
    .flatMap((note, at) => [
      { at, bytes: [0x90, note, 80] },
      { at: at + 1, bytes: [0x80, note, 64] },
    ])
    .sort((one, other) => one.at - other.at),
  chords: [0, 1, 2, 3].map((at) => ({ at, text: `${at}` })),
  length: 4,
};

const told = ({ events }: Due) =>
  events.map(
    ({ at, bytes: [status = 0, note] }) => `${at.toFixed(2)} ${status >= 0x90 ? '+' : '-'}${note}`,
  );

function until(transport: ReturnType<typeof createTransport>, from: number, to: number): string[] {
  const all: string[] = [];
  for (let now = from; now < to; now += 0.05) all.push(...told(transport.advance(now)));
  return all;
}

test('plays through once, a moment ahead, and is over', () => {
  const transport = createTransport(piece, { from: 0, isLooping: false });
  expect(until(transport, 10, 14)).toEqual([
    '10.03 +60',
    '11.03 -60',
    '11.03 +62',
    '12.03 -62',
    '12.03 +64',
    '13.03 -64',
    '13.03 +65',
    '14.03 -65',
  ]);
  expect(transport.isOver(14)).toBe(false);
  expect(transport.isOver(14.1)).toBe(true);
  expect(transport.chordAt(12.5)).toBe(2);
});

test('goes on from a pause with what was down', () => {
  const transport = createTransport(piece, { from: 0, isLooping: false });
  until(transport, 0, 1.5);
  const paused = transport.togglePause(1.53);
  expect(paused).toEqual({ events: [], isCut: true });
  expect(transport.advance(20)).toEqual({ events: [], isCut: false });
  const resumed = transport.togglePause(30);
  expect(told(resumed)).toEqual(['30.03 +62']);
  expect(resumed.isCut).toBe(true);
  expect(until(transport, 30.05, 30.6)).toEqual(['30.53 -62', '30.53 +64']);
});

test('steps by chord: on, back to its own beginning, back to the one before', () => {
  const transport = createTransport(piece, { from: 0, isLooping: false });
  until(transport, 0, 0.5);
  expect(told(transport.step(1, 0.5))).toEqual(['0.53 -60', '0.53 +62']);
  until(transport, 0.55, 1.4);
  expect(told(transport.step(-1, 1.45))).toEqual(['1.48 -60', '1.48 +62']);
  expect(told(transport.step(-1, 1.6))).toEqual(['1.63 +60']);
  expect(told(transport.step(-1, 1.7))).toEqual(['1.73 +60']);
  expect(transport.step(1, 1.8).isCut).toBe(true);
  for (let turn = 0; turn < 5; turn += 1) transport.step(1, 1.9);
  expect(transport.chordAt(2)).toBe(3);
});

test('loops from where it began, without a gap', () => {
  const transport = createTransport(piece, { from: 2, isLooping: true });
  expect(until(transport, 0, 3.9)).toEqual([
    '0.03 -62',
    '0.03 +64',
    '1.03 -64',
    '1.03 +65',
    '2.03 -65',
    '2.03 -62',
    '2.03 +64',
    '3.03 -64',
    '3.03 +65',
    '4.03 -65',
    '4.03 -62',
    '4.03 +64',
  ]);
  expect(transport.isOver(9)).toBe(false);
});

test('counts in before it begins, once, also in the middle of a chord', () => {
  const countIn = [-1, -0.5].map((at) => ({ at, bytes: [0x99, 76, 90] }));
  const transport = createTransport(piece, { from: 1.5, isLooping: true, countIn });
  expect(until(transport, 0, 2)).toEqual([
    '0.03 +76',
    '0.53 +76',
    '1.03 +62',
    '1.53 -62',
    '1.53 +64',
  ]);
  expect(until(transport, 2, 5).filter((line) => line.endsWith('76'))).toEqual([]);
});

test('a channel keeps its pedal and volume where it is gone to', () => {
  const events = [
    { at: 0, bytes: [0xb0, 64, 127] },
    { at: 0, bytes: [0xb0, 7, 60] },
    { at: 0.5, bytes: [0xb0, 64, 0] },
    { at: 1, bytes: [0x90, 60, 80] },
    { at: 2, bytes: [0x80, 60, 64] },
  ];
  const chords = [{ at: 1.2, text: '' }];
  const transport = createTransport({ events, chords, length: 2 }, { from: 1.2, isLooping: false });
  expect(transport.advance(0).events.map(({ bytes }) => bytes)).toEqual([
    [0xb0, 64, 0],
    [0xb0, 7, 60],
    [0x90, 60, 80],
  ]);
});
