/** Text without end, as a hostile file has it: read in time that grows with its length, or refused. */
import { expect, test } from 'vitest';
import { parseChart } from '../../src/chart/parse.ts';
import { parseKey } from '../../src/harmony/key/key.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { parseMetre } from '../../src/midi/metre.ts';
import { parseRegister } from '../../src/presets/register.ts';

// Where it takes the square of the length, each of these takes minutes.
const blanks = ' '.repeat(200_000);

test.each<[string, () => unknown]>([
  ['blanks within a symbol', () => parseSymbol(`C${blanks}x`).ok],
  ['a symbol of alterations', () => parseSymbol(`C(${'b9,'.repeat(60_000)})`).ok],
  ['a symbol of accidentals', () => parseSymbol(`C${'#'.repeat(200_000)}`).ok],
  ['blanks within a key', () => parseKey(`C${blanks}x`).ok],
  ['blanks within a metre', () => parseMetre(`4${blanks}x`) !== undefined],
  ['blanks within a register', () => parseRegister(`C3${blanks}x`).ok],
  ['a chord of blanks in a chart', () => parseChart(`| C${blanks}q |`).ok],
])('%s are refused', (_name, read) => {
  expect(read()).toBe(false);
});

test.each([
  ['a comment', `# ${blanks}x\n| C |`],
  ['a title', `title: a${blanks}x\n| C |`],
  ['a line of blanks', `${blanks}\n| C |`],
  ['blanks between bars', `| C ${blanks}| F |`],
])('%s without end is read', (_name, text) => {
  expect(parseChart(text).ok).toBe(true);
});
