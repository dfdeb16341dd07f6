/** Facts of hand-counted voicings, and columns that stay beside each other. */
import { describe, expect, test } from 'vitest';
import { columnsFor, noteLines, rowLines } from '../../src/compare/columns.ts';
import { factRows } from '../../src/compare/fact-rows.ts';
import { factsOf, soundingChords } from '../../src/compare/facts.ts';
import { comparisonReport } from '../../src/compare/report.ts';
import { comparedOf, compareText } from '../../src/compare/text.ts';
import { strategyIds } from '../../src/presets/preset.ts';
import { treated } from './treated.ts';

// Notes chosen in the chart itself, so that the figures can be counted by hand.
const counted = 'key: C\n| voicing=D2,F3,C4,E4 Dm9 | voicing=G2,F3,B3,E4 G13 | r | C6 |';

describe('facts', () => {
  const { voiced } = treated(counted, 'close');
  const facts = factsOf(voiced, 'ninth');

  test('a chord is measured as it can be counted by hand', () => {
    expect(facts.chords[0]).toMatchObject({
      ...{ voices: 4, hasBass: true, span: 26, tensions: ['9'], leftOut: ['5'] },
      // Upper voices F3, C4, E4: (53 + 60 + 64) / 3.
      ...{ middle: 59, intervals: [15, 7, 4], isForOneHand: false, isForTwoHands: true },
    });
    expect(facts.chords[1]).toMatchObject({ tensions: ['13'], leftOut: ['5'], span: 21 });
    expect(facts.chords[2]).toBeUndefined();
  });

  test('moves go from sounding chord to sounding chord', () => {
    expect(facts.moves).toHaveLength(2);
    // F and E stay, C goes to B; the bass rises a fourth.
    expect(facts.moves[0]).toEqual({ semitones: 1, bass: 5, commonTones: 2 });
  });

  test('rows are words, the same for every treatment, without praise', () => {
    const rows = factRows(facts, voiced.setup.key);
    const others = factRows(factsOf(treated(counted, 'shell').voiced, 'tenth'), undefined);
    expect(rows.map(({ name }) => name).slice(0, 9)).toEqual(
      others.map(({ name }) => name).slice(0, 9),
    );
    expect(Object.fromEntries(rows.map(({ name, value }) => [name, value]))).toMatchObject({
      'left out (chords)': '5 (2)',
    });
    expect(JSON.stringify(rows)).not.toMatch(/best|better|good|nice|rich/i);
  });
});

test('every strategy can be measured over every kind of chord, and nothing is amiss', () => {
  const chart = 'key: Eb\n| Ebmaj7 | Cm7 | F7(b9) | Bb13sus4 | Gm7(b5) | C7alt | Ab/C | Edim7 |';
  for (const strategy of strategyIds) {
    for (const chord of soundingChords(factsOf(treated(chart, strategy).voiced, 'ninth'))) {
      expect(
        chord.intervals.reduce((sum, each) => sum + each, 0),
        strategy,
      ).toBe(chord.span);
      expect(chord.voices).toBe(chord.intervals.length + 1);
      expect(chord.roughness).toBeGreaterThan(0);
      expect(chord.roughness).toBeLessThan(1.5);
      if (chord.isForOneHand) expect(chord.isForTwoHands && chord.span <= 14).toBe(true);
    }
  }
});

describe('side by side', () => {
  const compared = (['drop-2', 'fourths', 'hybrid'] as const).map((strategy) => {
    const treatment = treated('title: Two Lamps\nkey: C\n| Dm7 | G7 | C6 |', strategy);
    return comparedOf(treatment, factsOf(treatment.voiced, 'ninth'));
  });

  test('columns share the page, and go below each other where it is narrow', () => {
    expect(columnsFor(3, 14, 120)).toEqual({ width: 34, banks: [[0, 1, 2]] });
    expect(columnsFor(3, 14, 80).banks).toEqual([[0, 1], [2]]);
    expect(columnsFor(8, 14, 80).banks.flat()).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
    expect(rowLines(['a'], [['b', 'c'], ['d']], 3, 4)).toEqual(['a  b     d', '   c']);
  });

  test('notes stand over their degrees', () => {
    const notes = [
      { midi: 38, name: 'D2', degree: '1', part: 'bass' as const },
      { midi: 66, name: 'F#4', degree: '#11', part: 'upper' as const },
    ];
    expect(noteLines(notes, 30)).toEqual(['D2  F#4', '1   #11']);
  });

  test.each([80, 120, 200])('no line is wider than a page of %i', (page) => {
    const lines = compareText(compared, page).split('\n');
    expect(Math.max(...lines.map(({ length }) => length))).toBeLessThanOrEqual(page);
    expect(lines.filter((line) => line.includes('Dm7  ')).length).toBeGreaterThan(0);
  });

  test('chords stand in the same columns all the way down', () => {
    const lines = compareText(compared, 120).split('\n');
    const [start = ''] = lines.filter((line) => line.includes('drop-2'));
    for (const line of lines.filter((each) => /^\d\.\d/.test(each))) {
      for (const name of ['drop-2', 'fourths', 'hybrid']) {
        expect(line.charAt(start.indexOf(name) - 1)).toBe(' ');
        expect(line.charAt(start.indexOf(name))).toMatch(/[A-G]/);
      }
    }
  });

  test('as JSON the chords are those of a chart alone', () => {
    const { treatments, facts } = comparisonReport(compared);
    expect(treatments.map((each) => Object.keys(each))).toEqual(
      compared.map(() => ['preset', 'strategy', 'chords']),
    );
    expect(treatments[0]?.chords).toEqual(compared[0]?.chords);
    expect(facts.map(({ name }) => name)).toEqual(['drop-2', 'fourths', 'hybrid']);
  });
});
