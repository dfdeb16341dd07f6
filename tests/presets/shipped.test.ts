/** The presets that come with Handspan: each in order, and together the range they promise. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Validator } from '@cfworker/json-schema';
import { describe, expect, test } from 'vitest';
import schema from '../../shared/preset.schema.json' with { type: 'json' };
import { parsePreset } from '../../src/presets/parse.ts';
import { bassPolicies, growths, strategyIds } from '../../src/presets/preset.ts';

const folder = join(import.meta.dirname, '..', '..', 'presets');
const files = readdirSync(folder);
const textOf = (file: string) => readFileSync(join(folder, file), 'utf8');

const presets = files.map((file) => {
  const parsed = parsePreset(textOf(file), file.replace('.json', ''));
  if (!parsed.ok) throw new Error(`${file}: ${parsed.problems[0]?.message}`);
  return parsed.value;
});

describe.each(files)('%s', (file) => {
  test('is in order by the schema, for a second validator too', () => {
    const second = new Validator(schema as ConstructorParameters<typeof Validator>[0], '2020-12');
    expect(second.validate(JSON.parse(textOf(file))).errors).toEqual([]);
  });

  test('names the schema, so that editors complete and check', () => {
    expect(JSON.parse(textOf(file))).toHaveProperty('$schema', '../shared/preset.schema.json');
  });
});

test('no two have one name or say the same', () => {
  expect(new Set(presets.map(({ name }) => name)).size).toBe(presets.length);
  expect(new Set(presets.map(({ about }) => about)).size).toBe(presets.length);
});

test('a list of them fits 80 columns', () => {
  const widestId = Math.max(...presets.map(({ id }) => id.length));
  for (const { about } of presets) expect(widestId + 2 + about.length).toBeLessThanOrEqual(80);
});

test('together they use every strategy, bass, growth and family there is', () => {
  expect(presets.length).toBeGreaterThanOrEqual(8);
  const used = <T>(values: readonly T[]) => new Set(values.filter((value) => value !== undefined));
  expect(used(presets.map(({ strategy }) => strategy))).toEqual(new Set(strategyIds));
  expect(used(presets.map(({ bass }) => bass.policy))).toEqual(new Set(bassPolicies));
  expect(used(presets.map(({ growth }) => growth))).toEqual(new Set(growths));
  expect(used(presets.map(({ family }) => family?.major))).toEqual(
    new Set(['sixth', 'major-seventh', 'dominant']),
  );
});

// Common practice, no source: comping at the keyboard lies between D3 and E5 (50–76), two-hand
// voicings of five and more between A2 and G5 (45–79); a bass line lies between E1 and D3 (28–50),
// the root of a shell up to E3 (52).
test('registers are those of the keyboard player, but for the ones named low and high', () => {
  for (const { id, strategy, upper, bass, voices } of presets) {
    const isNamed = /low|high/.test(id);
    const highest = voices < 5 ? 76 : 79;
    expect(upper.lowest, id).toBeGreaterThanOrEqual(45);
    expect(upper.highest, id).toBeLessThanOrEqual(isNamed ? 83 : highest);
    expect(bass.lowest, id).toBeGreaterThanOrEqual(28);
    // A shell stands on its bass, no lower than F2: a step across E3 is one only up to G3.
    expect(bass.highest, id).toBeLessThanOrEqual(strategy === 'shell' ? 55 : 50);
  }
});
