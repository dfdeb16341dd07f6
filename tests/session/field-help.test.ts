import { expect, test } from 'vitest';
import schema from '../../shared/preset.schema.json' with { type: 'json' };
import { helpFor } from '../../src/session/presets/field-help.ts';

const { strategy, bass, about } = schema.properties;

test('of a choice only the lead and the part about the value chosen', () => {
  expect(helpFor(strategy.description, 'drop-3')).toMatch(
    /^How the upper voices are built\. 'drop-2', 'drop-3', 'drop-2-4': [^']+ lower\.$/,
  );
  expect(helpFor(bass.properties.policy.description, 'third')).toBe("'third': its third, warm.");
});

test('every strategy has a part of its own that fits four lines of 78 columns', () => {
  for (const value of strategy.enum) {
    const help = helpFor(strategy.description, value);
    expect(help).toContain(`'${value}'`);
    expect(help.length, value).toBeLessThan(300);
  }
});

test('a text without parts stays whole', () => {
  expect(helpFor(about.description, 'drop-3')).toBe(about.description);
  expect(helpFor(strategy.description, undefined)).toBe(strategy.description);
});
