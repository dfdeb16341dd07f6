/**
 * Chord symbols read and written. Outside references: the symbols of a theory textbook and of a fake
 * book with their intervals, and machine-combined spellings, both from the test tables of the npm
 * package chord-symbol (MIT, commit 98d36168).
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { chordTypes } from '../../src/harmony/chord/chord-type.ts';
import { typeOfDegrees } from '../../src/harmony/chord/composed-type.ts';
import { tensionsOfFamily } from '../../src/harmony/chord/tension.ts';
import { type Degree, isDegree, semitonesOf } from '../../src/harmony/pitch/degree.ts';
import { pitchClassOfSpelled, spellDegree } from '../../src/harmony/pitch/pitch-name.ts';
import type { ChordSymbol } from '../../src/harmony/symbol/chord-symbol.ts';
import { formatSymbol, lettering } from '../../src/harmony/symbol/format-symbol.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { symbolFacts } from '../../src/harmony/symbol/symbol-facts.ts';
import { casesOf, sampled } from '../helpers/round.ts';
import { referenceRows, referenceText, testWithReference } from './reference.ts';

function read(text: string): ChordSymbol {
  const parsed = parseSymbol(text);
  if (!parsed.ok) throw new Error(parsed.problem);
  return parsed.value;
}

function degreesOf(text: string): readonly Degree[] {
  return read(text).type.degrees;
}

/** Absolute pitch classes in the order of the type's degrees. */
function pitchClassesOf(text: string): number[] {
  const { root, type } = read(text);
  return type.degrees.map((degree) => (pitchClassOfSpelled(root) + semitonesOf(degree)) % 12);
}

describe('worked symbols', () => {
  // Definitions; the seventh chords in these spellings agree with tonal's dictionary where it has them.
  const cases: readonly (readonly [string, readonly string[], string])[] = [
    ['a triangle is a major seventh', ['Ebmaj7', 'EbΔ', 'EbM7', 'Ebma7', 'Eb^7'], '1 3 5 7'],
    ['half-diminished', ['F#ø', 'F#m7(b5)', 'F#-7b5', 'F#m7-5', 'F#ø7'], '1 b3 b5 b7'],
    ['all alterations', ['A7alt', 'Aalt', 'A7(alt)', 'Aaltered'], '1 b9 #9 3 #11 b13 b7'],
    ['a suspension implies the fourth', ['E7sus4', 'E7sus', 'Esus7'], '1 4 5 b7'],
    ['the slash of six nine is no bass', ['Ab6/9', 'Ab69', 'Ab6(9)', 'Ab6add9'], '1 9 3 5 6'],
    ['two alterations', ['B7(b9,#11)', 'B7b9#11', 'B7(♭9,♯11)'], '1 b9 3 #11 5 b7'],
    ['minor with major seventh', ['C#m(maj7)', 'C#-Δ7', 'C#mM7', 'C#mΔ'], '1 b3 5 7'],
    ['raised eleventh', ['Fmaj7(#11)', 'FΔ#11', 'Flyd'], '1 3 #11 5 7'],
    ['a dash is minor', ['E-7', 'Emi7', 'Em7', 'Emin7', 'EMI7'], '1 b3 5 b7'],
    ['a dominant 11 is a suspended ninth', ['A11', 'A9sus4', 'A9sus'], '1 9 4 5 b7'],
    ['a plus is an augmented fifth', ['F+7', 'F7(#5)', 'Faug7', 'F7+', 'F7+5'], '1 3 #5 b7'],
    ['a plus inside is a sharp', ['D7+9', 'D7(#9)', 'D7#9'], '1 #9 3 5 b7'],
    ['suspended with flat ninth', ['E7sus4(b9)', 'E7sus4b9', 'E7b9sus4', 'Esusb9'], '1 b9 4 5 b7'],
    ['no eleventh under a dominant 13', ['C13', 'C7(13)'], '1 9 3 5 13 b7'],
    ['an eleventh under a minor 13', ['Cm13', 'C-13'], '1 9 b3 11 5 13 b7'],
    ['an eleventh beside a sixth is added to it', ['C6(11)', 'C6/11', 'C6add11'], '1 3 11 5 6'],
    ['beside a six nine too', ['C6/9/11', 'C6(9,11)', 'C6/9(11)'], '1 9 3 11 5 6'],
    ['a suspended raised fourth stands for the third', ['Csus#4', 'Csus♯4'], '1 #11 5'],
    ['so does a suspended flat second', ['Csusb2'], '1 b9 5'],
    ['beside a seventh too', ['C7sus#4'], '1 #11 5 b7'],
    ['a ninth beside a power chord brings no seventh', ['C5(9)', 'C5add9', 'Csus2'], '1 9 5'],
    ['a major behind the seven is its own', ['C7M(11)', 'Cmaj7(11)'], '1 3 11 5 7'],
    ['2 keeps the third', ['C2', 'Cadd9', 'Cadd2', 'C(add9)'], '1 9 3 5'],
    ['m2 too', ['Cm2', 'Cm(add9)', 'C-add9'], '1 9 b3 5'],
    ['no third', ['C(no3)', 'C5', 'C(omit 3)', 'C(no3rd)'], '1 5'],
    ['minor six nine', ['Dm6/9', 'Dm69', 'D-6/9'], '1 9 b3 5 6'],
    ['a bare circle is a triad', ['C°', 'Cdim', 'Co'], '1 b3 b5'],
    ['a circle with 7 is a diminished seventh', ['C°7', 'Cdim7', 'Co7'], '1 b3 b5 bb7'],
    ['both sevenths', ['Cdim7(add maj7)', 'C°7(add MA7)'], '1 b3 b5 bb7 7'],
    ['a flat thirteenth takes the fifth’s place', ['C7(b13)', 'C7-13', 'C7(b6)'], '1 3 b13 b7'],
    ['and not on a minor chord', ['Cm7(b13)', 'Cm7b13'], '1 b3 5 b13 b7'],
  ];

  test.each(cases)('%s', (_reason, texts, degrees) => {
    for (const text of texts) expect(degreesOf(text).join(' '), text).toBe(degrees);
  });

  test('a root takes the accidentals it can, and two of them where nothing else is meant', () => {
    expect(pitchClassesOf('C#9')).toEqual([1, 3, 5, 8, 11]);
    expect(pitchClassesOf('Bbb7')).toEqual([9, 1, 4, 7]);
    expect(pitchClassesOf('B♭♭7')).toEqual([9, 1, 4, 7]);
    expect(pitchClassesOf('F##m7')).toEqual([7, 10, 2, 5]);
    expect(pitchClassesOf('Fxm7')).toEqual([7, 10, 2, 5]);
    expect(pitchClassesOf('Ebb(9)')).toEqual([2, 4, 6, 9, 0]);
    expect(formatSymbol(read('E♭♭maj7'))).toBe('Ebbmaj7');
  });

  test('a small letter is a root where the words behind it say which chord', () => {
    const names = ['dm7', 'bbmaj7', 'f#-7', 'ebM7', 'aΔ'].map((text) => {
      const parsed = parseSymbol(text);
      return parsed.ok ? formatSymbol(parsed.value) : parsed.nearest;
    });
    expect(names).toEqual(['Dm7', 'Bbmaj7', 'F#m7', 'Ebmaj7', 'Amaj7']);
    for (const text of ['g7', 'c', 'e', 'bb']) expect(parseSymbol(text).ok, text).toBe(false);
  });

  test('a bass is a letter behind the slash', () => {
    expect(formatSymbol(read('Am7/G'))).toBe('Am7/G');
    expect(read('C6/9').bass).toBeUndefined();
    expect(formatSymbol(read('Gbm/Bbb'))).toBe('Gbm/Bbb');
  });

  test('a polychord is one chord over another', () => {
    for (const text of ['D|C', 'D\\C', 'D \\ C']) expect(formatSymbol(read(text))).toBe('D\\C');
    expect(formatSymbol(read('Cm | A7'))).toBe('Cm\\A7');
  });

  test('signs of engraved music on request', () => {
    const shown = ['F#m7(b5)', 'Ebmaj9(#11)', 'Bbdim7', 'Ab7(b9)/C'].map((text) =>
      formatSymbol(read(text), 'unicode'),
    );
    expect(shown).toEqual(['F♯ø7', 'E♭Δ9(♯11)', 'B♭°7', 'A♭7(♭9)/C']);
  });
});

describe('the alias table', () => {
  test.each(chordTypes.map((type) => [type.id, type] as const))('%s', (_id, type) => {
    for (const suffix of [type.symbol, ...type.aliases]) {
      // On Ab a 'b5' at the head could be the second flat of the root.
      const root = suffix.startsWith('b') ? 'G#' : 'Ab';
      expect(read(`${root}${suffix}`).type.id, suffix).toBe(type.id);
    }
  });
});

test('every other spelling that is offered is the same chord, on every root', () => {
  for (let letter = 0; letter < 7; letter += 1) {
    for (const accidental of [-2, -1, 0, 1, 2]) {
      for (const type of chordTypes) {
        const symbol = { root: { letter, accidental }, type };
        for (const alias of symbolFacts(symbol, undefined).aliases) {
          expect(formatSymbol(read(alias)), alias).toBe(formatSymbol(symbol));
        }
      }
    }
  }
  expect(symbolFacts(read('Caug'), undefined).aliases).toContain('C(#5)');
  expect(symbolFacts(read('Caug'), undefined).aliases).not.toContain('C#5');
});

describe('a fault is said with its place and a way out', () => {
  const cases: readonly (readonly [string, number, string])[] = [
    ['Cmj7', 3, 'Cmaj7'],
    ['H7', 1, ''],
    ['a7', 1, 'A7'],
    ['C:', 2, 'C'],
    ['C.', 2, 'C'],
    ['Cm7.', 4, 'Cm7'],
    ['C7(,)', 4, 'C7'],
    ['C7(b9,)', 7, 'C7(b9)'],
    ['C(,b9)', 3, 'C(b9)'],
    ['C7()', 4, 'C7'],
    ['C999999', 3, 'C9'],
    ['C77', 3, 'C7'],
    ['Ebb6', 3, 'Eb(b6)'],
    ['F##9', 3, 'F#(#9)'],
    ['Bbbb7', 3, ''],
    ['C bass', 3, ''],
    ['Cxyz', 3, ''],
    ['G7(b9', 3, 'G7(b9)'],
    ['Am7(13', 4, 'Am7(13)'],
    ['Cm7/H', 5, 'Cm7/B'],
    ['Dm7/xy', 5, ''],
    ['G7b9)', 5, 'G7(b9)'],
    ['C7(b8)', 4, 'C7(b5)'],
    ['Emin77x', 7, 'Emin7'],
    ['Foo7', 3, 'Fo7'],
    ['Cadd', 2, 'Cadd9'],
    ['', 1, ''],
    ['D|H', 3, ''],
  ];

  test.each(cases)('%s', (text, position, nearest) => {
    const parsed = parseSymbol(text);
    expect(parsed.ok).toBe(false);
    if (parsed.ok) return;
    expect(parsed.position).toBe(position);
    expect(parsed.problem).toContain(`character ${position}`);
    expect(parsed.nearest).toBe(nearest);
    if (parsed.nearest !== '') expect(parseSymbol(parsed.nearest).ok).toBe(true);
  });

  test('no text makes it throw, and every advice parses', () => {
    const alphabet = fc.constantFrom(...'ABCDEFG#b♭♯majinsudolt°øΔ+-/|()0123456789,:* ');
    const anyText = fc.oneof(
      fc.string({ maxLength: 30 }),
      fc.string({ unit: alphabet, maxLength: 16 }).map((rest) => `C${rest}`),
      fc.string({ unit: 'grapheme', maxLength: 300 }),
    );
    fc.assert(
      fc.property(anyText, (text) => {
        const parsed = parseSymbol(text);
        if (parsed.ok) {
          expect(parseSymbol(formatSymbol(parsed.value)).ok).toBe(true);
          return;
        }
        expect(parsed.position).toBeGreaterThan(0);
        if (parsed.nearest !== '') expect(parseSymbol(parsed.nearest).ok).toBe(true);
      }),
      { numRuns: 3000, examples: [['C##:'], ['Fbb:maj7']] },
    );
  });
});

describe('what is printed parses back to itself', () => {
  const roots = [0, 1, 2, 3, 4, 5, 6].flatMap((letter) =>
    [-2, -1, 0, 1, 2].map((accidental) => ({ letter, accidental })),
  );

  function expectRoundTrip(symbol: ChordSymbol): void {
    for (const style of lettering) {
      const text = formatSymbol(symbol, style);
      const parsed = parseSymbol(text);
      if (!parsed.ok || parsed.value.type !== symbol.type)
        throw new Error(`${text} came back else`);
      if (
        JSON.stringify([parsed.value.root, parsed.value.bass ?? null]) !==
        JSON.stringify([symbol.root, symbol.bass ?? null])
      )
        throw new Error(`${text} came back over another root or bass`);
    }
  }

  function subsetsOf(members: readonly Degree[]): Degree[][] {
    let sets: Degree[][] = [[]];
    for (const degree of members) sets = sets.concat(sets.map((set) => [...set, degree]));
    return sets;
  }

  test('every family with every set of its tensions', () => {
    const grown = chordTypes.flatMap((type) =>
      subsetsOf(tensionsOfFamily(type).tensions).map((set) =>
        typeOfDegrees([...type.degrees, ...set]),
      ),
    );
    const distinct = new Set(grown);
    expect(distinct.size).toBeGreaterThan(130);
    for (const type of distinct) {
      for (const root of roots) expectRoundTrip({ root, type });
    }
  }, 30_000);

  test('every family over every root and bass', () => {
    for (const type of chordTypes) {
      for (const root of roots) {
        for (const bass of sampled(roots, 4)) expectRoundTrip({ root, type, bass });
      }
    }
  }, 30_000);

  test('chord tones of every family as bass, spelled by the chord', () => {
    for (const type of chordTypes) {
      for (const root of roots) {
        for (const degree of type.degrees) {
          const bass = spellDegree(root, degree);
          if (Math.abs(bass.accidental) <= 2) expectRoundTrip({ root, type, bass });
        }
      }
    }
  });

  test('any set of tones over a root', () => {
    const byPitch: readonly (readonly Degree[])[] = [
      ['b9'],
      ['9'],
      ['b3', '#9'],
      ['3'],
      ['11'],
      ['#11', 'b5'],
      ['5'],
      ['b13', '#5'],
      ['6', '13', 'bb7'],
      ['b7'],
      ['7'],
    ];
    const choice = fc.tuple(
      ...byPitch.map((names) => fc.option(fc.constantFrom(...names), { nil: undefined })),
    );
    fc.assert(
      fc.property(choice, (chosen) => {
        const degrees = chosen.filter((degree) => degree !== undefined);
        expectRoundTrip({
          root: { letter: 0, accidental: 0 },
          type: typeOfDegrees(['1', ...degrees]),
        });
      }),
      { numRuns: casesOf(1000) },
    );
  }, 30_000);
});

type TextbookRow = {
  readonly symbol: string;
  readonly intervals: readonly string[];
};

describe('outside tables', () => {
  const textbook = 'symbols/textbook_symbols.json';
  /** Where we name a tone otherwise: the sound is theirs. */
  const namedOtherwise: Readonly<Record<string, string>> = {
    C11: 'its 11 stands for the 3rd, as the 4 of a suspension',
    'C11(b9)': 'its 11 stands for the 3rd, as the 4 of a suspension',
  };

  testWithReference('every textbook symbol parses to its intervals', textbook, () => {
    const rows = JSON.parse(referenceText(textbook)) as readonly TextbookRow[];
    expect(rows).toHaveLength(141);
    for (const { symbol, intervals } of rows) {
      const wanted = intervals.filter(isDegree);
      expect(wanted, symbol).toHaveLength(intervals.length);
      const found = degreesOf(symbol);
      const semitones = (degrees: readonly Degree[]): number[] =>
        degrees.map(semitonesOf).sort((one, other) => one - other);
      expect(semitones(found), symbol).toEqual(semitones(wanted));
      if (namedOtherwise[symbol] !== undefined) continue;
      expect([...found].sort(), symbol).toEqual([...wanted].sort());
    }
  });

  const sample = 'symbols/symbols_sample.tsv';
  /**
   * Spellings of the machine-combined table read otherwise, with the reason. They are unweighted by
   * use: no musician wrote them.
   */
  const policies: readonly (readonly [reason: string, pattern: RegExp])[] = [
    ['a dash before 5, 9, 11 and 13 is flat, but behind the root minor', /-(?:11|9|13)/],
    ["'Mino3' is minor and a stray letter, not minor without 3rd", /Mino3/],
    ["'(bass)' is no part of a symbol", /bass/],
    ["'maj9/6' keeps its major seventh", /[Mm]a?j?(?:or)?9\/6/],
    ["'sus9' is a suspended second (theory texts), not a suspended dominant ninth", /suspended9/],
  ];

  testWithReference('machine-combined spellings, with the policies that differ', sample, () => {
    const rows = referenceRows(sample);
    const different = rows.filter(({ symbol = '', pcs_from_root = '' }) => {
      const parsed = parseSymbol(symbol);
      if (!parsed.ok) return true;
      const found = [...new Set(parsed.value.type.degrees.map(semitonesOf))];
      return found.sort((one, other) => one - other).join(',') !== pcs_from_root;
    });
    const unexplained = different.filter(
      ({ symbol = '' }) => !policies.some(([, pattern]) => pattern.test(symbol)),
    );
    expect(unexplained.map(({ symbol }) => symbol)).toEqual([]);
    expect(different.length).toBeLessThanOrEqual(20);
    expect(rows).toHaveLength(3056);
  });
});
