/** The short round of the fuzzer; `npm run fuzz` goes on for as long as it is told. */
import { readdirSync } from 'node:fs';
import { expect, test } from 'vitest';
import { fuzz } from './fuzz.ts';
import { plainPreset, shippedPreset } from './play.ts';

const folder = new URL('../../presets/', import.meta.url);
const shipped = readdirSync(folder).map((name) => shippedPreset(name.replace('.json', '')));
const presets = [
  ...shipped,
  {
    ...plainPreset,
    id: 'rolled',
    playing: { roll: { direction: 'up', milliseconds: 80 } as const },
  },
  { ...plainPreset, id: 'latched', playing: { latch: true, commonTones: 'held' as const } },
  {
    ...plainPreset,
    id: 'spread-out',
    playing: {
      channels: { layout: 'per-voice', first: 0 } as const,
      zone: { lowest: 50, highest: 90 },
    },
  },
];

test.each([1, 2, 3, 4])(
  'seed %i: 25,000 messages, nothing stuck, nothing unmatched',
  { timeout: 60_000 },
  (seed) => {
    const result = fuzz(seed, 25_000, presets);
    expect(result).toMatchObject({ stuck: 0, unmatched: 0 });
    // It would prove nothing if no chord had ever been voiced.
    expect(result.chords).toBeGreaterThan(1000);
  },
);
