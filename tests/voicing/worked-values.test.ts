/**
 * Voicings worked out by hand, exact in every note: each is among the members its strategy lists,
 * keeps the low interval limits and holds no forbidden minor ninth, and its degrees are those named.
 * Source of a row: the definition, where none is named. Titles marked so were read as such only.
 */
import { describe, expect, test } from 'vitest';
import { keepsLowIntervalLimits, keepsMinorNinths } from '../../src/voicing/constraints.ts';
import { degreeIn } from '../../src/voicing/sounding.ts';
import { strategyById } from '../../src/voicing/strategies.ts';
import type { BassPolicy, Frame, StrategyId } from '../../src/voicing/voicing.ts';
import { frame, harmonyOf, numbers } from './harmonies.ts';

type Row = {
  readonly symbol: string;
  readonly strategy: StrategyId;
  readonly notes: string;
  readonly degrees: string;
  readonly source: string;
  readonly bass?: BassPolicy;
  readonly lead?: number;
  readonly block?: 'drop-2';
};

const hutchinson = 'R. Hutchinson, Music Theory for the 21st-Century Classroom, 31.7';
const fifthBelow = 'common practice, no source: a fifth under the guide tones';
const drop2 = 'D. Terefenko, Jazz Theory, p. 47, fig. 4.15 (read second-hand)';
const drops = 'definition: counted from the top, as for drop 2';
const lindsay = 'G. Lindsay, Jazz Arranging Techniques, ch. 10: one note per category';
const levine = 'M. Levine, The Jazz Piano Book, chapter title; content: common practice';
const tymoczko = 'D. Tymoczko, A Geometry of Music, fig. 10.1.2: A and B forms';
const pease = 'T. Pease and K. Pullig, Modern Jazz Voicings, ch. 5: rules; result computed';
const soWhat = "Wikipedia, 'So What chord': three fourths and a third; readings computed";
const hybrids =
  'a glossary for a college harmony course, second-hand: definition of a hybrid; content computed';
const commonPractice = 'common practice, no source';
const definition = 'definition';

const row = (
  symbol: string,
  strategy: StrategyId,
  notes: string,
  degrees: string,
  source: string,
  more: Partial<Row> = {},
): Row => ({ symbol, strategy, notes, degrees, source, ...more });

const root = { bass: 'root' } as const;
const third = { bass: 'third' } as const;

const rows: readonly Row[] = [
  row('Amaj7', 'close', '57 61 64 68', '1 3 5 7', definition),
  row('Amaj7', 'close', '61 64 68 69', '3 5 7 1', definition),
  row('Amaj7', 'close', '64 68 69 73', '5 7 1 3', definition),
  row('Amaj7', 'close', '68 69 73 76', '7 1 3 5', definition),
  row('Ebmaj7', 'drop-2', '58 63 67 74', '5 1 3 7', drop2),
  row('Ebmaj7', 'drop-3', '55 63 70 74', '3 1 5 7', drops),
  row('Ebmaj7', 'drop-2-4', '51 58 67 74', '1 5 3 7', drops),
  row('F#m7', 'drop-2', '61 66 69 76', '5 1 b3 b7', drop2),
  row('F#m7', 'drop-3', '57 66 73 76', 'b3 1 5 b7', drops),
  row('F#m7', 'drop-2-4', '54 61 69 76', '1 5 b3 b7', drops),
  row('Ab7', 'drop-2', '54 60 63 68', 'b7 3 5 1', drop2),
  row('C#dim7', 'drop-2', '55 61 64 70', 'b5 1 b3 bb7', drop2),
  row('D', 'open', '50 57 66', '1 5 3', commonPractice),
  row('F#m', 'open', '54 61 69', '1 5 b3', commonPractice),
  row('Ab', 'open', '56 63 72', '1 5 3', commonPractice),
  row('Dbmaj7', 'close', '65 68 70 73', '3 5 13 1', lindsay, { lead: 73 }),
  row('Emaj7', 'close', '68 71 73 76', '3 5 13 1', lindsay, { lead: 76 }),
  row('A7', 'close', '61 64 67 71', '3 5 b7 9', lindsay, { lead: 71 }),
  row('Bm7', 'close', '62 66 69 73', 'b3 5 b7 9', lindsay, { lead: 73 }),
  row('D7sus4', 'close', '60 62 67 69', 'b7 1 4 5', lindsay, { lead: 69 }),
  row('Ab6', 'block', '63 65 68 72 75', '5 6 1 3 5', lindsay, { lead: 75 }),
  row('F#m7', 'block', '61 64 66 69 76', '5 b7 1 b3 b7', commonPractice, {
    lead: 76,
    block: 'drop-2',
  }),
  row('Amaj7', 'shell', '45 56 61', '1 7 3', levine, root),
  row('F#m7', 'shell', '42 52 57', '1 b7 b3', levine, root),
  row('Db7', 'shell', '49 53 59', '1 3 b7', commonPractice, root),
  row('Dbmaj7', 'shell', '49 53 60', '1 3 7', commonPractice, root),
  row('Bm7', 'rootless', '50 54 57 61', 'b3 5 b7 9', `${tymoczko}; ${levine}`),
  row('E7', 'rootless', '50 54 56 61', 'b7 9 3 13', `${tymoczko}; ${levine}`),
  row('Amaj7', 'rootless', '49 52 56 59', '3 5 7 9', `${tymoczko}; ${levine}`),
  row('Ebm7', 'rootless', '49 53 54 58', 'b7 9 b3 5', `${tymoczko}; ${levine}`),
  row('Ab7', 'rootless', '48 53 54 58', '3 13 b7 9', `${tymoczko}; ${levine}`),
  row('Dbmaj7', 'rootless', '48 51 53 56', '7 9 3 5', `${tymoczko}; ${levine}`),
  row('G#m7(b5)', 'rootless', '54 56 59 62', 'b7 1 b3 b5', commonPractice),
  row('C#7alt', 'rootless', '53 57 59 64', '3 b13 b7 #9', levine),
  row('F#m6/9', 'rootless', '51 56 57 61', '6 9 b3 5', commonPractice),
  row('Db7alt', 'rootless', '59 64 65 69', 'b7 #9 3 b13', commonPractice),
  row('B7(b9)', 'rootless', '51 54 57 60', '3 5 b7 b9', commonPractice),
  row('E7sus4', 'rootless', '57 59 62 66', '4 5 b7 9', commonPractice),
  row('Ebmaj9', 'spread', '39 46 55 62 65', '1 5 3 7 9', fifthBelow, root),
  row('A13', 'spread', '45 55 61 66 71', '1 b7 3 13 9', hutchinson, root),
  row('F#m9', 'spread', '42 52 57 61 68', '1 b7 b3 5 9', hutchinson, root),
  row('E6/9', 'spread', '40 47 56 61 66', '1 5 3 6 9', fifthBelow, root),
  row('Db7(#9)', 'spread', '49 53 59 64', '1 3 b7 #9', hutchinson, root),
  row('Dmaj7', 'fourths', '38 54 59 64', '1 3 13 9', pease, root),
  row('C#m7', 'fourths', '37 54 59 64', '1 11 b7 b3', pease, root),
  row('A6/9', 'fourths', '37 54 59 64', '3 6 9 5', pease, third),
  row('Eadd9', 'fourths', '44 54 59 64', '3 9 5 1', pease, third),
  row('B7sus4', 'fourths', '35 54 59 64', '1 5 1 4', pease, root),
  row('Dadd9', 'fourths', '42 52 57 62', '3 9 5 1', pease, third),
  row('E7(#9)', 'fourths', '40 56 62 67', '1 3 b7 #9', pease, root),
  row('Eb7(#11)', 'fourths', '39 58 63 69', '1 5 1 #11', pease, root),
  row('A13', 'fourths', '55 61 66 71', 'b7 3 13 9', pease),
  row('A13', 'fourths', '55 61 66 71 76', 'b7 3 13 9 5', pease),
  row('E7alt', 'fourths', '56 62 67 72', '3 b7 #9 b13', pease),
  row('E6/9', 'fourths', '56 61 66 71 76', '3 6 9 5 1', pease),
  // 'If necessary a third': where no fourths show a half-diminished chord, or an altered dominant.
  row('Dm7(b5)', 'fourths', '38 60 65 68', '1 b7 b3 b5', pease, root),
  row('E7(b9)', 'fourths', '40 56 62 65', '1 3 b7 b9', pease, root),
  row('C#m11', 'fourths-and-third', '49 54 59 64 68', '1 11 b7 b3 5', soWhat),
  row('Amaj13', 'fourths-and-third', '49 54 59 64 68', '3 13 9 5 7', soWhat),
  row('Dmaj9(#11)', 'fourths-and-third', '49 54 59 64 68', '7 3 13 9 #11', soWhat),
  row('E6/9', 'fourths-and-third', '49 54 59 64 68', '6 9 5 1 3', soWhat),
  row('F#9sus4', 'fourths-and-third', '49 54 59 64 68', '5 1 4 b7 9', soWhat),
  row('Amaj7', 'hybrid', '45 59 64 68', '1 9 5 7', hybrids, root),
  row('Dbmaj7', 'hybrid', '37 56 60 63', '1 5 7 9', hybrids, root),
  row('E9sus4', 'hybrid', '40 57 62 66', '1 4 b7 9', hybrids, root),
  row('F#m7', 'hybrid', '42 56 61 64', '1 9 5 b7', hybrids, root),
  row('B9sus4', 'hybrid', '35 54 57 61 64', '1 5 b7 9 4', hybrids, root),
  row('Amaj7(#11)', 'hybrid', '45 59 63 66', '1 9 #11 13', hybrids, root),
  row('E7sus4(b9)', 'hybrid', '40 57 62 65', '1 4 b7 b9', hybrids, root),
  row('B13sus4', 'hybrid', '35 57 61 64 68', '1 b7 9 4 13', hybrids, root),
  row('Eb13(#11)', 'upper-structure', '55 61 65 69 72', '3 b7 9 #11 13', levine),
  row('Eb7(#9)', 'upper-structure', '55 61 66 70 73', '3 b7 #9 5 b7', levine),
  row('Eb7(b9,#11)', 'upper-structure', '55 61 64 69 73', '3 b7 b9 #11 b7', levine),
  row('Eb7(#9,b13)', 'upper-structure', '55 61 63 66 71', '3 b7 1 #9 b13', levine),
  row('Eb13(b9)', 'upper-structure', '55 61 64 67 72', '3 b7 b9 3 13', levine),
  row('Eb7(#9)', 'upper-structure', '55 61 63 66 70', '3 b7 1 #9 5', levine),
  row('Eb7(b9,b13)', 'upper-structure', '55 61 64 67 71', '3 b7 b9 3 b13', levine),
  row('Eb13(b9,#11)', 'upper-structure', '55 61 64 69 72', '3 b7 b9 #11 13', levine),
  row('Dmaj13(#11)', 'polychord', '50 54 57 64 68 71', '1 3 5 9 #11 13', commonPractice),
  row('A7(#9,#11)', 'polychord', '57 61 64 67 72 75', '1 3 5 b7 #9 #11', commonPractice),
  row('Bm11', 'cluster', '61 62 64 66', '9 b3 11 5', commonPractice),
  row('Dmaj9', 'cluster', '61 62 64 66', '7 1 9 3', commonPractice),
  row('E9', 'cluster', '62 64 66 68', 'b7 1 9 3', commonPractice),
  row('Amaj9', 'fifths', '45 52 59 61', '1 5 9 3', commonPractice, root),
  row('F#m(add9)', 'fifths', '42 49 56 57', '1 5 9 b3', commonPractice, root),
  row('Eb6/9', 'fifths', '39 46 53 60 67', '1 5 9 6 3', commonPractice, root),
];

function frameOf({ notes, bass = 'none', lead, block }: Row): Frame {
  const sounding = numbers(notes);
  const voices = sounding.length - (bass === 'none' ? 0 : 1);
  return {
    ...frame(45, 79, voices, bass),
    ...(lead !== undefined && { lead }),
    ...(block !== undefined && { block }),
  };
}

describe.each(rows)('$symbol as $strategy: $notes ($source)', (value) => {
  const { symbol, strategy, notes, degrees } = value;
  // As far as the symbol goes, the chord tones alone make close and dropped voicings.
  const isPlain = ['close', 'open', 'drop-2', 'drop-3', 'drop-2-4', 'block'].includes(strategy);
  const growth = isPlain && value.lead === undefined ? 'as-played' : 'thirteenths';
  const harmony = harmonyOf(symbol, growth);

  test('is a member', () => {
    const members = strategyById(strategy).members(harmony, frameOf(value));
    expect(members.map((member) => member.notes.join(' '))).toContain(notes);
  });

  test('keeps the limits and is called what it is', () => {
    const sounding = numbers(notes);
    expect(keepsLowIntervalLimits(sounding)).toBe(true);
    expect(keepsMinorNinths(sounding, harmony)).toBe(true);
    expect(sounding.map((note) => degreeIn(note, harmony)).join(' ')).toBe(degrees);
  });
});
