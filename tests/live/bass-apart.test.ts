/**
 * A bass that the player holds apart is meant, as one behind a slash is: it lies below the voicing
 * whatever the preset's bass policy says. An inversion inside the hand is not: it is smoothness.
 * That a low note far from the rest is a bass: common practice, no source.
 */
import { describe, expect, test } from 'vitest';
import { createVoicer } from '../../src/live/voicing/voicer.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { shippedPreset } from './play.ts';

/** What sounds in the bass for the keys held. */
function bassOf(preset: Preset, keys: readonly number[]): number | undefined {
  const voicer = createVoicer({ preset, presets: [preset], key: 'C' });
  const chord = voicer.read(keys);
  return chord && voicer.voice(chord, { last: undefined, lead: Math.max(...keys) })?.voicing.bass;
}

const withBass = [
  'close-as-played',
  'fourths-over-third',
  'spread-over-fifth',
  'shells',
  'hybrid-major',
];

describe.each(withBass)('in %s', (id) => {
  const preset = shippedPreset(id);

  test.each([
    ['C over E', [40, 60, 64, 67], 4],
    ['C over G', [43, 60, 64, 67], 7],
    ['C over B', [47, 60, 64, 67], 11],
    ['A minor over G', [43, 60, 64, 69], 7],
    ['G7 over F', [41, 59, 62, 67], 5],
  ])('%s', (_name, keys, wanted) => {
    expect((bassOf(preset, keys) ?? 0) % 12).toBe(wanted);
  });

  test('inside the hand the policy holds', () => {
    const root = (bassOf(preset, [60, 64, 67]) ?? 0) % 12;
    expect((bassOf(preset, [52, 55, 60]) ?? 0) % 12).toBe(root);
    expect((bassOf(preset, [64, 67, 72]) ?? 0) % 12).toBe(root);
  });
});

test('a major seventh in the bass lies where basses do, not close below the root', () => {
  const bass = bassOf(shippedPreset('drop-2-bass-played'), [47, 60, 64, 67]) ?? 0;
  expect(bass % 12).toBe(11);
  expect(bass).toBeLessThanOrEqual(47);
});

test('where another player has the bass, nobody plays it', () => {
  expect(bassOf(shippedPreset('rootless-hand'), [40, 60, 64, 67])).toBeUndefined();
});

test('a pedal with a note of its own stays', () => {
  const preset = shippedPreset('fourths-on-a-pedal');
  const own: Preset = { ...preset, bass: { ...preset.bass, pedal: 33 } };
  expect(bassOf(own, [40, 60, 64, 67])).toBe(33);
  expect((bassOf(preset, [40, 60, 64, 67]) ?? 0) % 12).toBe(4);
});
