/** One minute for two hands, as the end-to-end tests play it, through the engine alone. */
import { expect, test } from 'vitest';
import { expectedOf, steadyPreset } from '../e2e/demo-expected.ts';
import { bass, keyName, melody, presetFrom, twoHandsTune } from '../e2e/two-hands-tune.ts';

const setup = { preset: steadyPreset(presetFrom, 'two-hands'), key: keyName };
const { sent } = expectedOf(setup, twoHandsTune());

test('all that begins ends', () => {
  const balance = new Map<string, number>();
  for (const { text } of sent) {
    const [kind, key = ''] = text.split(' ');
    if (kind !== 'control') balance.set(key, (balance.get(key) ?? 0) + (kind === 'on' ? 1 : -1));
  }
  expect([...balance.values()].every((rest) => rest === 0)).toBe(true);
});

test('nothing is played while keys are read', () => {
  const tune = twoHandsTune();
  const times = tune.map(({ atMs }) => Math.round(atMs));
  const beats = tune
    .filter(({ event }) => event.type === 'noteOn')
    .map(({ atMs }) => Math.floor(atMs / 500) * 500);
  for (const beat of beats) {
    expect(times.filter((time) => time > beat + 40 && time < beat + 300)).toEqual([]);
  }
});

test('every note of the melody and the bass sounds as it is played', () => {
  const lost = [...melody, ...bass].filter(
    ({ note, velocity, downMs }) =>
      !sent.some(
        ({ atMs, text }) =>
          atMs >= downMs && atMs <= downMs + 150 && text === `on 0/${note} ${velocity}`,
      ),
  );
  expect(lost).toEqual([]);
});
