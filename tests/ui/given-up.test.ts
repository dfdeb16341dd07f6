/** What a voicing gave up, in the words of the screen: of a doubling, which tone it is. */
import { expect, test } from 'vitest';
import { wantingOf } from '../../src/ui/given-up.ts';
import { chord } from './fixtures.ts';

test.each([
  ['G2:1 B3:3 F4:b7 B4:3', ['leading tone'], 'given up: single leading tone (B twice)'],
  ['C3:1 G3:5 G4:5 E5:3', ['doubling', 'reach'], "given up: no doubling (G twice), a hand's reach"],
  ['C3:1 E3:3', ['spacing'], 'given up: spacing'],
])('%s without %j', (voices, relaxed, sentence) => {
  expect(wantingOf(chord('C', 'C4', 'C', voices, '', { relaxed }).sent)).toBe(sentence);
});
