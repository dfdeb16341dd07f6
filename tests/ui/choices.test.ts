/** The list by ear: which voicing and by which technique can be read whole, however narrow it is. */
import { expect, test } from 'vitest';
import { choiceLines } from '../../src/ui/stage/choices.tsx';
import { widthOf } from '../../src/ui/text.ts';

const near = (labels: readonly string[]) => ({
  by: 'voicing' as const,
  index: 2,
  of: 9,
  near: labels.map((label, place) => ({
    index: place + 1,
    symbol: 'Abmaj7',
    label,
    voices: ['Ab2', 'Eb3', 'Ab3', 'C4', 'G4'],
    struck: [],
  })),
});

const alike = ['drop 2 over the root', 'drop 2 over the root', 'drop 2 over the root'];
const unlike = [...alike, 'upper structure: major triad on the 5th over the root'];

test.each([
  [24, alike],
  [36, alike],
  [44, alike],
  [70, alike],
  [56, unlike],
  [90, unlike],
])('in %i columns every technique stands whole', (width, labels) => {
  const { heading, lines } = choiceLines(near(labels), width);
  const all = [heading, ...lines.map(({ symbol, rest }) => symbol + rest)];
  for (const text of all) expect(2 + widthOf(text), text).toBeLessThanOrEqual(width + 2);
  for (const label of new Set(labels)) expect(all.some((text) => text.includes(label))).toBe(true);
  expect(lines.filter(({ isChosen }) => isChosen)).toHaveLength(1);
  expect(lines.filter(({ rest }) => rest.includes('A♭2 E♭3 A♭3 C4 G4'))).toHaveLength(
    labels.length,
  );
});

test('what all have in common is said once, where it would be cut', () => {
  expect(choiceLines(near(alike), 44).lines[0]).toMatchObject({ symbol: '' });
  const narrow = choiceLines(near(alike), 40);
  expect(narrow.heading).toBe('by ear: voicing 2 of 9');
  expect(choiceLines(near(alike), 70).lines[0]?.symbol).toBe('A♭maj7 ');
});
