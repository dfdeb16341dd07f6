import { expect, test } from 'vitest';
import { criticalBandwidth, roughnessOf, roughnessOfPair } from '../../src/sound/roughness.ts';

// Figures of the same model in P. Harrison's published packages for R (dycon, its tests; incon, its
// README), written for Harrison and Pearce, Psychological Review 127 (2020).
test('curve and critical bandwidth are those of another published implementation', () => {
  expect(roughnessOfPair(1)).toBeCloseTo(0.0397, 4);
  expect(roughnessOfPair(0.5)).toBeCloseTo(0.5413, 4);
  expect(roughnessOfPair(1.5)).toBe(0);
  expect(criticalBandwidth(400, 440)).toBeCloseTo(87.225, 2);
  expect(criticalBandwidth(400, 380)).toBeCloseTo(83.123, 2);
});

test.each<readonly [string, readonly number[], number, number]>([
  ['C4 Db4 as sines', [60, 61], 1, 0.499],
  ['A4 Bb4 as sines', [69, 70], 1, 0.491],
  ['C4 Db4', [60, 61], 11, 0.484],
  ['C major triad', [60, 64, 67], 11, 0.1202426],
  ['C minor triad', [60, 63, 67], 11, 0.130083],
])('%s is as rough as it is there', (_, notes, partials, expected) => {
  expect(roughnessOf(notes, partials)).toBeCloseTo(expected, expected > 0.2 ? 3 : 6);
});

// Hutchinson and Knopoff 1978, table of the intervals over C4, ten harmonics; from memory.
const published = [
  0.0019, 0.4886, 0.269, 0.1109, 0.0551, 0.0451, 0.093, 0.0221, 0.0843, 0.0477, 0.0998, 0.2312,
  0.0014,
];

test('the intervals over C4 stand as the authors have them, in almost their order', () => {
  const own = published.map((_, interval) => roughnessOf([60, 60 + interval]));
  for (const [interval, value] of own.entries()) {
    // Their curve was read off a drawing: a few percent, and more where there is little of it.
    expect(Math.abs(value - (published[interval] ?? 0))).toBeLessThan(0.02);
  }
  const rankOf = (values: readonly number[]) =>
    values.map((value) => values.filter((each) => each < value).length);
  const steps = rankOf(own).map((rank, place) => Math.abs(rank - (rankOf(published)[place] ?? 0)));
  expect(Math.max(...steps)).toBeLessThanOrEqual(2);
});

test('a voicing an octave lower is rougher, and nothing at all is smooth', () => {
  expect(roughnessOf([48, 52, 55])).toBeGreaterThan(roughnessOf([60, 64, 67]));
  expect(roughnessOf([])).toBe(0);
  expect(roughnessOf([60], 1)).toBe(0);
});
