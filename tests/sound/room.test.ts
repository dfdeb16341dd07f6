/** Voices that were let go never pile up, however far the clock of the sound lags behind the playing. */
import { expect, test } from 'vitest';
import { createInstrument } from '../../src/sound/instrument.ts';
import { levels } from '../../src/sound/level.ts';
import type { SoundOrder } from '../../src/sound/sound-order.ts';
import { cutTime, mostReleased, mostVoices } from '../../src/sound/voices.ts';
import { decibels, off, on, peakOf, rate, soundOf, wavOf } from './rendering.ts';

const options = { timbre: 'struck', level: levels.first, isFile: false } as const;
const chord = [38, 45, 52, 59, 64, 69, 74, 79];

/** Eight chords a second of the playing, while the sound's clock goes at this pace: the most at once. */
function played(pace: number, seconds: number) {
  const instrument = createInstrument(options);
  const sounding = new Set<number>();
  let [most, cut] = [0, 0];
  const count = (orders: readonly SoundOrder[]) => {
    for (const order of orders) {
      if (order.type === 'begin') sounding.add(order.id);
      if (order.type === 'cut') cut += 1;
      if (order.type === 'cut' || order.type === 'gone') sounding.delete(order.id);
    }
    most = Math.max(most, sounding.size);
  };
  for (let turn = 0; turn < seconds * 8; turn += 1) {
    const at = (turn / 8) * pace;
    const notes = chord.map((note) => note + (turn % 5));
    count(
      instrument.receive(
        notes.map((note) => on(note)),
        at,
      ),
    );
    count(
      instrument.receive(
        notes.map((note) => off(note)),
        at + 0.1 * pace,
      ),
    );
  }
  return { most, cut };
}

test('voices stay few where the clock of the sound stands still, and none is cut where it goes', () => {
  for (const pace of [0, 0.001, 0.05]) {
    const { most, cut } = played(pace, 10);
    expect(most, `pace ${pace}`).toBeLessThanOrEqual(mostReleased + chord.length);
    expect(cut, `pace ${pace}`).toBeGreaterThan(0);
  }
  expect(played(1, 10).cut).toBe(0);
});

test('one chord of more notes than there are voices leaves no more than both limits', () => {
  const instrument = createInstrument(options);
  const all = Array.from({ length: 100 }, (_, note) => on(20 + note));
  const begun = instrument.receive(all, 0);
  const cut = begun.filter(({ type }) => type === 'cut').length;
  expect(begun.filter(({ type }) => type === 'begin')).toHaveLength(100);
  expect(100 - cut).toBeLessThanOrEqual(mostVoices + mostReleased);
});

test('what is cut fades without a crack and is silent at once', async () => {
  const notes = Array.from({ length: 60 }, (_, place) => 30 + place);
  const together = [0, 1].flatMap((channel) => notes.map((note) => on(note, 60, channel)));
  const moments = [
    { at: 0, messages: together.slice(0, 60) },
    { at: 0.5, messages: notes.map((note) => off(note)) },
    { at: 0.52, messages: together.slice(60) },
    { at: 0.55, messages: notes.map((note) => off(note, 1)) },
  ];
  const { left } = soundOf(await wavOf(moments, 'sustained'));
  const steps = left.map((sample, place) => Math.abs(sample - (left[place - 1] ?? 0)));
  const from = Math.round(0.54 * rate);
  const usual = peakOf(steps.subarray(Math.round(0.3 * rate), Math.round(0.49 * rate)));
  const atCut = peakOf(steps.subarray(from, from + Math.round((cutTime + 0.03) * rate)));
  expect(decibels(atCut / usual)).toBeLessThan(3);
});
