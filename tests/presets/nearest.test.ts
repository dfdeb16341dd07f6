/** Advice for words that are not known. Edit distance: Levenshtein 1966, by a library. */
import { readdirSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { adviseNearest } from '../../src/presets/nearest.ts';
import { strategyIds } from '../../src/presets/preset.ts';

const presets = readdirSync(new URL('../../presets', import.meta.url)).map((file) =>
  file.replace(/\.json$/, ''),
);

describe('a known word', () => {
  test.each([
    ['presets', presets],
    ['strategies', strategyIds],
  ])('of the %s with one letter wrong, missing or twice is advised', (_what, known) => {
    for (const word of known) {
      for (const typed of [`x${word.slice(1)}`, word.slice(0, -1), `${word}${word.at(-1)}`]) {
        if (!known.includes(typed as never))
          expect(adviseNearest(typed, known)).toContain(`'${word}'`);
      }
    }
  });

  test('of which a part is given: those that have it, a few at most, beginnings first', () => {
    for (const word of presets) {
      const part = word.split('-')[0] ?? '';
      if (part.length < 4 || presets.includes(part)) continue;
      const advised = [...adviseNearest(part, presets).matchAll(/'([^']+)'/g)].map(([, id]) => id);
      expect(advised.length).toBeGreaterThan(0);
      expect(advised.length).toBeLessThanOrEqual(4);
      if (advised.length > 1) expect(advised[0]?.startsWith(part)).toBe(true);
    }
    expect(adviseNearest('second set', ['First set', 'My second set'])).toBe(
      " (nearest: 'My second set')",
    );
  });
});

test('what stands between the parts of a word is no difference, and no likeness', () => {
  expect(adviseNearest('drop2', presets)).toContain("'drop-2-ninths'");
  expect(adviseNearest('upperstructure', presets)).toContain("'upper-structure");
  expect(adviseNearest('--tempo', ['--help', '--midi', '--key'])).toBe('');
});

test('nothing is advised for what is like nothing', () => {
  expect(adviseNearest('xyzzy', presets)).toBe('');
  expect(adviseNearest('o', presets)).toBe('');
});

test('what is advised is what can be typed, whatever was meant', () => {
  const known = new Map([
    ['Warm fourths', 'warm-1'],
    ['warm-1', 'warm-1'],
  ]);
  expect(adviseNearest('warm fourth', known)).toBe(" (nearest: 'warm-1')");
  expect(adviseNearest('warm', known)).toBe(" (nearest: 'warm-1')");
});
