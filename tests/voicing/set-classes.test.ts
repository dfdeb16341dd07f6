/**
 * Stacks of perfect fourths as set classes: three parts are 3-9, four 4-23, five 5-35 (A. Forte, The
 * Structure of Atonal Music, 1973), looked up in music21's table where that is at hand.
 */
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { strategyById } from '../../src/voicing/strategies.ts';
import { frame, harmonyOf } from './harmonies.ts';

type SetClass = { readonly forte: string; readonly prime: readonly number[] };

const table = new URL('../../../shared/reference/set-classes/forte.json', import.meta.url);
const isAtHand = existsSync(table);

/** The set turned and inverted so that it begins on 0 in every way it can. */
function forms(notes: readonly number[]): string[] {
  const tones = [...new Set(notes.map((note) => note % 12))];
  return [1, -1].flatMap((sign) =>
    tones.map((origin) =>
      tones
        .map((tone) => (sign * (tone - origin) + 24) % 12)
        .sort((one, other) => one - other)
        .join(),
    ),
  );
}

function forteNumber(notes: readonly number[]): string {
  const classes = JSON.parse(readFileSync(table, 'utf8')) as readonly SetClass[];
  const known = forms(notes);
  return classes.find(({ prime }) => known.includes(prime.join()))?.forte ?? '';
}

describe.skipIf(!isAtHand)('with the table of set classes at hand', () => {
  test.each([
    [3, '3-9'],
    [4, '4-23'],
    [5, '5-35'],
  ])('%i perfect fourths are %s', (voices, forte) => {
    const members = strategyById('fourths')
      .members(harmonyOf('E6/9', 'thirteenths'), frame(45, 81, voices))
      .filter(({ notes }) =>
        notes.every((note, at) => at === 0 || note - (notes[at - 1] ?? 0) === 5),
      );
    expect(members.length).toBeGreaterThan(0);
    for (const { notes } of members) expect(forteNumber(notes)).toBe(forte);
  });

  test('three fourths and a major third are 5-35 as well', () => {
    const members = strategyById('fourths-and-third').members(
      harmonyOf('E6/9', 'thirteenths'),
      frame(45, 81, 5),
    );
    expect(members.length).toBeGreaterThan(0);
    for (const { notes } of members) expect(forteNumber(notes)).toBe('5-35');
  });
});

test.skipIf(isAtHand)('the table of set classes is not at hand; its checks are left out', () => {});
