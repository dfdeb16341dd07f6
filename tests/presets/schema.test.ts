/** The schema itself, and a second validator's opinion of it. */
import { Validator } from '@cfworker/json-schema';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import schema from '../../shared/preset.schema.json' with { type: 'json' };
import {
  bassPolicies,
  families,
  gatherings,
  growths,
  strategyIds,
} from '../../src/presets/preset.ts';
import { checkAgainstSchema } from '../../src/presets/schema-check.ts';
import { strategies } from '../../src/voicing/strategies.ts';
import { sample } from './sample.ts';

/** @cfworker/json-schema shares no code with ajv; both claim JSON Schema draft 2020-12. */
const secondOpinion = new Validator(
  schema as ConstructorParameters<typeof Validator>[0],
  '2020-12',
);

describe('the schema', () => {
  test('is valid by the metaschema of draft 2020-12, without an unknown keyword', () => {
    const ajv = new Ajv2020({ strict: true, allowUnionTypes: true });
    expect(ajv.validateSchema(schema)).toBe(true);
    expect(() => ajv.compile(schema)).not.toThrow();
  });

  test('lists the same words as the type', () => {
    const { properties } = schema;
    expect(properties.strategy.enum).toEqual(strategyIds);
    expect(properties.kept.items.properties.technique.enum).toEqual(strategyIds);
    expect(properties.bass.properties.policy.enum).toEqual(bassPolicies);
    expect(properties.growth.enum).toEqual(growths);
    expect(properties.gathering.properties.mode.enum).toEqual(gatherings);
    const { major, minor } = properties.family.properties;
    expect(new Set([...major.enum, ...minor.enum])).toEqual(new Set(families));
  });

  test('tells the narrowest registers that the rules ask for', () => {
    const [, list = ''] = schema.properties.upper.description.split('at least ');
    const told = list.split(/, (?=\d)/).flatMap((clause) => {
      const [width = '', names = ''] = clause.replace(/\.$/, '').split(' for ');
      return names.split(/, | and /).map((name) => [name, Number(width)]);
    });
    expect(Object.fromEntries(told)).toEqual(
      Object.fromEntries(strategies.map((each) => [each.id, each.narrowestUpper])),
    );
  });

  test('tells how many voices each strategy places', () => {
    const [, list = ''] = schema.properties.voices.description.split('the bass. ');
    const told = list.split('; ').flatMap((clause) => {
      const [names = '', range = ''] = clause.replace(/\.$/, '').split(': ');
      const [fewest = '', most = fewest] = range.split(/ to | or /);
      return names.split(', ').map((name) => [name, [Number(fewest), Number(most)]]);
    });
    const placed = strategies.map(({ id, voices }) => [id, voices]);
    expect(Object.fromEntries(told)).toEqual(Object.fromEntries(placed));
  });

  test('describes every property, and its examples and defaults pass', () => {
    for (const [name, property] of Object.entries(schema.properties)) {
      expect(property.description, name).toMatch(/^.{20,}\.$/);
    }
    for (const example of schema.examples) expect(checkAgainstSchema(example)).toEqual([]);
    const { bass, gathering } = schema.properties;
    const withDefaults = { ...sample, bass: bass.default, gathering: gathering.default };
    expect(checkAgainstSchema(withDefaults)).toEqual([]);
    const { lowest, highest } = bass.properties;
    expect(bass.default).toEqual({
      policy: 'root',
      lowest: lowest.default,
      highest: highest.default,
    });
  });
});

describe('a second validator', () => {
  test('agrees about the sample', () => {
    expect(secondOpinion.validate(sample).valid).toBe(true);
    expect(secondOpinion.validate({ ...sample, voices: 7 }).valid).toBe(false);
  });

  test('agrees about anything near a preset', () => {
    const oddValue = fc.oneof(
      fc.jsonValue({ maxDepth: 1 }),
      fc.constantFrom<unknown>(50, 127, 128, -1, 3, 4.5, 'D3', 'd♭3', 'C-1', 'H2', 'D33', '', ' a'),
      fc.constantFrom<unknown>('close', 'root', 'none', 'ninths', 'fixed', 'sixth', 'dominant'),
      fc.constantFrom<unknown>(
        { lowest: 50, highest: 'G4' },
        { policy: 'none' },
        { mode: 'fixed' },
      ),
      fc.constantFrom<unknown>(
        { major: 'sixth' },
        { minor: 'dominant' },
        { ceilingMilliseconds: 5 },
      ),
    );
    const names = [...Object.keys(schema.properties), 'extra'];
    const changes = fc.dictionary(fc.constantFrom(...names), oddValue, { maxKeys: 2 });
    const seen = { valid: 0, invalid: 0 };
    fc.assert(
      fc.property(changes, fc.constantFrom(...names), (changed, without) => {
        const { [without]: _, ...rest } = { ...sample, ...changed } as Record<string, unknown>;
        const value = Object.keys(changed).length === 1 ? { ...sample, ...changed } : rest;
        const isValid = checkAgainstSchema(value).length === 0;
        seen[isValid ? 'valid' : 'invalid'] += 1;
        expect(secondOpinion.validate(value).valid).toBe(isValid);
      }),
      { numRuns: 2000 },
    );
    // Otherwise the agreement would be empty.
    expect(seen.valid).toBeGreaterThan(50);
    expect(seen.invalid).toBeGreaterThan(50);
  });
});
