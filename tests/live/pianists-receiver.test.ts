/** The listener the ways of playing are judged by: MIDI 1.0, note-ons, note-offs and the damper pedal. */
import { expect, test } from 'vitest';
import { receive, type Sent } from './pianists/receiver.ts';

const on = (at: number, note: number, channel = 0): Sent => ({
  at,
  message: { type: 'noteOn', channel, note, velocity: 80 },
});
const off = (at: number, note: number, channel = 0): Sent => ({
  at,
  message: { type: 'noteOff', channel, note, velocity: 64 },
});
const pedal = (at: number, value: number, channel = 0): Sent => ({
  at,
  message: { type: 'controlChange', channel, controller: 64, value },
});

test('a note rings from its note-on to its note-off', () => {
  const { ringing } = receive([on(10, 60), off(20, 60)]);
  expect([9, 10, 19, 20].map((at) => ringing(at))).toEqual([[], [60], [60], []]);
});

test('under the pedal it rings on to the pedal; half values count from 64', () => {
  const { ringing } = receive([pedal(0, 64), on(10, 60), off(20, 60), pedal(30, 63)]);
  expect([20, 29, 30].map((at) => ringing(at))).toEqual([[60], [60], []]);
});

test('the pedal of another channel holds nothing', () => {
  const { ringing } = receive([
    pedal(0, 127, 1),
    on(10, 60),
    off(20, 60),
    on(10, 62, 1),
    off(20, 62, 1),
  ]);
  expect([ringing(20), ringing(20, 0), ringing(20, 1)]).toEqual([[62], [], [62]]);
});

test('struck again, under the pedal too, it is one more span and never silent between', () => {
  const { ringing, strikes, spans } = receive([
    pedal(0, 127),
    on(10, 60),
    off(20, 60),
    on(30, 60),
    off(40, 60),
    pedal(50, 0),
  ]);
  expect(strikes(0, 100)).toHaveLength(2);
  expect(spans.map(({ from, released, to }) => [from, released, to])).toEqual([
    [10, 20, 30],
    [30, 40, 50],
  ]);
  expect([25, 30, 45, 50].map((at) => ringing(at))).toEqual([[60], [60], [60], []]);
});

test('a note-off for what is silent changes nothing; a note without one never ends', () => {
  const { ringing } = receive([off(0, 60), on(10, 62)]);
  expect([ringing(5), ringing(1_000_000)]).toEqual([[], [62]]);
});
