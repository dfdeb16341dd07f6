/** A preset in order, for tests that spoil one thing at a time, and any preset at all. */
import fc from 'fast-check';
import {
  channelLayouts,
  commonToneManners,
  longestRollMilliseconds,
  type Playing,
  rollDirections,
} from '../../src/presets/playing.ts';
import {
  bassPolicies,
  blockForms,
  gatherings,
  leads,
  type Preset,
  parallels,
  reaches,
  type StrategyId,
  spreadForms,
  strategyIds,
} from '../../src/presets/preset.ts';
import { findBrokenRules } from '../../src/presets/rules.ts';

export const sample = {
  name: 'Sample',
  about: 'Made up for a test',
  strategy: 'fourths',
  voices: 3,
  upper: { lowest: 'D3', highest: 'G4' },
  bass: { policy: 'root', lowest: 'A1', highest: 'C3' },
  growth: 'ninths',
  gathering: { mode: 'adaptive', ceilingMilliseconds: 50 },
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

const velocityStep = fc.integer({ min: -40, max: 12 });

const playing: fc.Arbitrary<Partial<Playing>> = fc.record(
  {
    commonTones: fc.constantFrom(...commonToneManners),
    latch: fc.boolean(),
    zone: fc
      .tuple(register, fc.option(fc.uniqueArray(fc.nat(15), { minLength: 1 }), { nil: undefined }))
      .map(([zone, channels]) => ({ ...zone, ...(channels === undefined ? {} : { channels }) })),
    channels: fc.record({ layout: fc.constantFrom(...channelLayouts), first: fc.nat(15) }),
    balance: fc.record({ top: velocityStep, inner: velocityStep, bass: velocityStep }),
    roll: fc.record({
      direction: fc.constantFrom(...rollDirections),
      milliseconds: fc.integer({ min: 0, max: longestRollMilliseconds }),
    }),
  },
  { requiredKeys: [] },
);

type Choices = Pick<Preset, 'lead' | 'parallel' | 'reach' | 'block' | 'spread'>;

/** A form of another strategy would only be thrown away. */
function formsFor(strategy: StrategyId, { block, spread, ...rest }: Choices): Choices {
  return {
    ...rest,
    ...(strategy === 'block' && block !== undefined && { block }),
    ...(strategy === 'spread' && spread !== undefined && { spread }),
  };
}

/** Any preset that all rules allow. */
export const anyPreset: fc.Arbitrary<Preset> = fc
  .record({
    preset: fc.record({
      id: fc.constant('any'),
      name: oneLine(32),
      about: oneLine(100),
      strategy: fc.constantFrom(...strategyIds),
      voices: fc.integer({ min: 2, max: 6 }),
      upper: register,
      growth: fc.constantFrom('as-played', 'sevenths', 'ninths', 'thirteenths'),
      gathering: fc.record({
        mode: fc.constantFrom(...gatherings),
        ceilingMilliseconds: fc.integer({ min: 5, max: 250 }),
      }),
    }),
    bass: register,
    policy: fc.constantFrom(...bassPolicies),
    pedal: fc.option(fc.integer({ min: 0, max: 127 }), { nil: undefined }),
    choices: fc.record(
      {
        lead: fc.constantFrom(...leads),
        parallel: fc.constantFrom(...parallels),
        reach: fc.constantFrom(...reaches),
        block: fc.constantFrom(...blockForms),
        spread: fc.constantFrom(...spreadForms),
      },
      { requiredKeys: [] },
    ),
    family: fc.option(family, { nil: undefined }),
    manner: fc.option(playing, { nil: undefined }),
  })
  .map(({ preset, bass, policy, pedal, choices, family: chosen, manner }) => ({
    ...preset,
    ...formsFor(preset.strategy, choices),
    bass: { policy, ...(pedal === undefined ? {} : { pedal }), ...bass },
    ...(chosen === undefined ? {} : { family: chosen }),
    ...(manner === undefined ? {} : { playing: manner }),
  }))
  .filter((preset) => findBrokenRules(preset).length === 0);
