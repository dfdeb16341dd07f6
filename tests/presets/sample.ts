/** A preset in order, for tests that spoil one thing at a time, and any preset at all. */
import fc from 'fast-check';
import { type Preset, strategyIds } from '../../src/presets/preset.ts';
import { findBrokenRules } from '../../src/presets/rules.ts';

export const sample = {
  name: 'Sample',
  about: 'Made up for a test',
  strategy: 'fourths',
  voices: 3,
  upper: { lowest: 'D3', highest: 'G4' },
  bass: { policy: 'root', lowest: 'A1', highest: 'C3' },
  growth: 'ninths',
  gathering: { mode: 'fixed', ceilingMilliseconds: 30 },
} as const;

/** The sample with some properties replaced; `undefined` takes one out. */
export function spoilt(changes: { readonly [name: string]: unknown }): string {
  return JSON.stringify({ ...sample, ...changes }, null, 2);
}

const oneLine = (maxLength: number) =>
  fc
    .string({ minLength: 1, maxLength, unit: 'grapheme' })
    .filter((text) => text.length <= maxLength && text.trim() === text && !/\p{C}/u.test(text));

const register = fc
  .tuple(fc.integer({ min: 0, max: 127 }), fc.integer({ min: 0, max: 127 }))
  .map(([one, other]) => ({ lowest: Math.min(one, other), highest: Math.max(one, other) }));

const family = fc
  .record(
    {
      major: fc.constantFrom('sixth' as const, 'major-seventh' as const, 'dominant' as const),
      minor: fc.constantFrom('sixth' as const, 'minor-seventh' as const),
    },
    { requiredKeys: [] },
  )
  .filter((families) => Object.keys(families).length > 0);

/** Any preset that all rules allow. */
export const anyPreset: fc.Arbitrary<Preset> = fc
  .record({
    preset: fc.record({
      id: fc.constant('any'),
      name: oneLine(32),
      about: oneLine(100),
      strategy: fc.constantFrom(...strategyIds),
      voices: fc.integer({ min: 3, max: 5 }),
      upper: register,
      growth: fc.constantFrom('as-played', 'sevenths', 'ninths', 'thirteenths'),
      gathering: fc.record({
        mode: fc.constantFrom('at-once', 'fixed'),
        ceilingMilliseconds: fc.integer({ min: 5, max: 250 }),
      }),
    }),
    bass: register,
    policy: fc.constantFrom('root', 'third', 'none'),
    family: fc.option(family, { nil: undefined }),
  })
  .map(({ preset, bass, policy, family: chosen }) => ({
    ...preset,
    bass: { policy, ...bass },
    ...(chosen === undefined ? {} : { family: chosen }),
  }))
  .filter((preset) => findBrokenRules(preset).length === 0);
