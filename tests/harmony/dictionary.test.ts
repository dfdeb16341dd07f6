/**
 * The dictionary and the tensions as data. Families: interval content by definition, guide tones by
 * R. Hutchinson, Music Theory for the 21st-Century Classroom, section 31.7; required and optional
 * tones: common practice, no source. Whole-step rule for tensions: B. Nettles, Harmony 3 (read
 * second-hand).
 */
import { ChordType as TonalTypes } from 'tonal';
import { describe, expect, test } from 'vitest';
import keyProfiles from '../../shared/key-profiles.json' with { type: 'json' };
import data from '../../shared/tensions.json' with { type: 'json' };
import { chordType, chordTypes } from '../../src/harmony/chord/chord-type.ts';
import { isDominant, tensionsInKey, tensionsOfFamily } from '../../src/harmony/chord/tension.ts';
import { type Key, makeKey, parseKey } from '../../src/harmony/key/key.ts';
import {
  type Degree,
  degreeMask,
  inOrder,
  isDegree,
  semitonesOf,
} from '../../src/harmony/pitch/degree.ts';
import { has, relativeTo } from '../../src/harmony/pitch/pitch-class-set.ts';
import { readingsOver } from '../../src/harmony/recognition/reading-table.ts';
import { recogniseSet } from '../../src/harmony/recognition/recognise.ts';

describe('chord families', () => {
  // Symbol, tones, required, dropped first, guide tones.
  const families: readonly (readonly [string, string, string, string, string])[] = [
    ['', '1 3 5', '1 3', '5', '3'],
    ['m', '1 b3 5', '1 b3', '5', 'b3'],
    ['dim', '1 b3 b5', '1 b3 b5', '', 'b3 b5'],
    ['aug', '1 3 #5', '1 3 #5', '', '3 #5'],
    ['sus4', '1 4 5', '1 4 5', '', '4'],
    ['sus2', '1 9 5', '1 9 5', '', '9'],
    ['5', '1 5', '1 5', '', ''],
    ['add9', '1 9 3 5', '1 9 3', '5', '3'],
    ['m(add9)', '1 9 b3 5', '1 9 b3', '5', 'b3'],
    ['6', '1 3 5 6', '3 6', '5 1', '3 6'],
    ['m6', '1 b3 5 6', 'b3 6', '5 1', 'b3 6'],
    ['6/9', '1 9 3 5 6', '9 3 6', '5 1', '3 6'],
    ['m6/9', '1 9 b3 5 6', '9 b3 6', '5 1', 'b3 6'],
    ['maj7', '1 3 5 7', '3 7', '5 1', '3 7'],
    ['maj9', '1 9 3 5 7', '9 3 7', '5 1', '3 7'],
    ['maj7(#11)', '1 3 #11 5 7', '3 #11 7', '5 1', '3 7'],
    ['maj7(#5)', '1 3 #5 7', '3 #5 7', '1', '3 7'],
    ['7', '1 3 5 b7', '3 b7', '5 1', '3 b7'],
    ['9', '1 9 3 5 b7', '9 3 b7', '5 1', '3 b7'],
    ['7(#11)', '1 3 #11 5 b7', '3 #11 b7', '5 1', '3 b7'],
    ['7(b5)', '1 3 b5 b7', '3 b5 b7', '1', '3 b7'],
    ['7(#5)', '1 3 #5 b7', '3 #5 b7', '1', '3 b7'],
    ['7(b9)', '1 b9 3 5 b7', 'b9 3 b7', '5 1', '3 b7'],
    ['7(#9)', '1 #9 3 5 b7', '#9 3 b7', '5 1', '3 b7'],
    ['7(b13)', '1 3 b13 b7', '3 b13 b7', '1', '3 b7'],
    ['7alt', '1 b9 #9 3 #11 b13 b7', '3 b7', '1', '3 b7'],
    ['7sus4', '1 4 5 b7', '4 b7', '5 1', '4 b7'],
    ['9sus4', '1 9 4 5 b7', '9 4 b7', '5 1', '4 b7'],
    ['7sus4(b9)', '1 b9 4 5 b7', 'b9 4 b7', '5', '4 b7'],
    ['m7', '1 b3 5 b7', 'b3 b7', '5 1', 'b3 b7'],
    ['m7(b5)', '1 b3 b5 b7', 'b3 b5 b7', '1', 'b3 b7'],
    ['dim7', '1 b3 b5 bb7', 'b3 b5 bb7', '1', 'b3 b5 bb7'],
    ['m(maj7)', '1 b3 5 7', 'b3 7', '5 1', 'b3 7'],
    ['dim(maj7)', '1 b3 b5 7', '1 b3 b5 7', '', 'b3 7'],
  ];

  test.each(families)('%s', (symbol, tones, required, optional, guides) => {
    const type = chordTypes.find((each) => each.symbol === symbol);
    if (type === undefined) throw new Error(`no family ${symbol}`);
    const maskOf = (text: string): number =>
      text
        .split(' ')
        .filter(isDegree)
        .reduce((mask, degree) => mask | (1 << semitonesOf(degree)), 0);
    expect(type.degrees.join(' ')).toBe(tones);
    expect(type.required).toBe(maskOf(required));
    expect(type.optional.join(' ')).toBe(optional);
    expect(type.guides).toBe(maskOf(guides));
  });

  test('every row is well made', () => {
    const masks = chordTypes.map((type) => degreeMask(type.degrees));
    expect(new Set(masks).size).toBe(chordTypes.length);
    expect(new Set(chordTypes.map((type) => type.symbol)).size).toBe(chordTypes.length);
    for (const type of chordTypes) {
      expect(inOrder(type.degrees), type.id).toEqual(type.degrees);
      expect(type.required & ~type.tones, type.id).toBe(0);
      expect(type.guides & ~type.tones, type.id).toBe(0);
      expect(new Set(type.degrees.map(semitonesOf)).size, type.id).toBe(type.degrees.length);
    }
  });

  test('an altered dominant needs an altered ninth and an altered fifth', () => {
    const altered = chordType('dominant-altered');
    expect(altered.oneOf).toEqual([(1 << 1) | (1 << 3), (1 << 6) | (1 << 8)]);
    const found = readingsOver(0b10100010011).map((reading) => reading.type.id);
    expect(found[0]).toBe('dominant-seventh-flat-ninth-flat-thirteenth');
    expect(found).toContain('dominant-altered');
  });

  // Common practice, no source: the dominant of a minor key has a flat thirteenth, and so has any
  // whose fifth sounds beside it; a raised fifth leads up to what the key has not.
  test('a dominant has a flat thirteenth where key or fifth say so, else a raised fifth', () => {
    const read = (semitones: readonly number[], key?: Key) => {
      const set = semitones.reduce((mask, each) => mask | (1 << (each % 12)), 0);
      return recogniseSet(set, 7, key === undefined ? {} : { key })?.type.symbol;
    };
    const [minor, major] = ['C minor', 'C major'].map((text) => {
      const key = parseKey(text);
      return key.ok ? key.value : undefined;
    });
    // G B Eb F, with D, with A, with Ab.
    for (const [own, inMinor, inMajor] of [
      [[], '7(b13)', '7(#5)'],
      [[2], '7(b13)', '7(b13)'],
      [[9], '9(#5)', '9(#5)'],
      [[9, 2], '9(b13)', '9(b13)'],
      [[8], '7(b9,b13)', '7(b9,b13)'],
      [[8, 2], '7(b9,b13)', '7(b9,b13)'],
    ] as const) {
      const notes = [7, 11, 3, 5, ...own];
      expect([read(notes, minor), read(notes, major), read(notes)]).toEqual([
        ...[inMinor, inMajor, inMajor],
      ]);
    }
  });

  // tonal 6.4.3's dictionary (MIT), by another hand: sets, and names we may not share.
  test('every chord of tonal’s dictionary is read over its root', () => {
    const misread = TonalTypes.all().filter((theirs) => {
      const set = [...theirs.chroma].reduce(
        (mask, bit, tone) => (bit === '1' ? mask | (1 << tone) : mask),
        0,
      );
      return !readingsOver(set).some(
        ({ rootAboveBass, type: { tones, degrees } }) =>
          // The symbol of a flat thirteenth leaves the fifth to those who play it.
          rootAboveBass === 0 && (set & ~(tones | (degrees.includes('b13') ? 1 << 7 : 0))) === 0,
      );
    });
    // Rare sets another root names better: a sixth or seventh chord inverted.
    expect(misread.map((theirs) => theirs.aliases[0] ?? theirs.name)).toEqual([
      'M7#5sus4',
      '7#5sus4',
      'mb6M7',
      '+add#9',
      'M9#5sus4',
      'M9sus4',
      'M#5add9',
      'mb6b9',
    ]);
  });
});

describe('tensions', () => {
  test('every family has its tensions or grows safely', () => {
    const bare = chordTypes.filter((type) => tensionsOfFamily(type).scale === '');
    // Bare triads grow by the 'safe' rows; open fifths, clusters of one third and made-up triads do not.
    // Chords without a seventh grow as far as their triad safely may; open ones not at all.
    expect(bare.filter((type) => type.hasSeventh).map((type) => type.id)).toEqual([]);
  });

  /** A scale tone a half step above a chord tone is handled with care, but on dominants over root and 5th. */
  function isCareful(tension: Degree, tones: number, dominant: boolean): boolean {
    return Array.from({ length: 12 }, (_, tone) => tone).some((tone) => {
      if (!has(tones, tone) || (semitonesOf(tension) - tone + 12) % 12 !== 1) return false;
      return !(dominant && (tone === 0 || tone === 7));
    });
  }

  const rows = [...data.major, ...data.minor];

  test('a tension stands a whole step above a chord tone', () => {
    const offending = rows.filter((row) => {
      const type = chordType(row.grows);
      const tensions = row.tensions.filter(isDegree);
      expect(tensions).toHaveLength(row.tensions.length);
      // A suspended V is a dominant, too.
      const leads = isDominant(type) || row.quality === 'suspended';
      return tensions.some((degree) => isCareful(degree, type.tones, leads));
    });
    expect(offending.map((row) => `${row.quality} on ${row.above}`)).toEqual([]);
  });

  test('what is handled with care is not offered', () => {
    for (const row of [...rows, ...data.families]) {
      expect(row.care.filter((degree) => row.tensions.includes(degree))).toEqual([]);
    }
  });

  const inC = makeKey({ letter: 0, accidental: 0 }, 'major');
  const inCMinor = makeKey({ letter: 0, accidental: 0 }, 'minor');
  // Course hand-out 'available diatonic tensions'; Wikipedia, 'Avoid note', for major. Computed by
  // the whole-step rule for minor.
  const functions: readonly (readonly [string, typeof inC, number, string, string, string])[] = [
    ['I', inC, 0, 'major-seventh', '9 13', '11'],
    ['ii', inC, 2, 'minor-seventh', '9 11', '13'],
    ['iii', inC, 4, 'minor-seventh', '11', 'b9 b13'],
    ['IV', inC, 5, 'major-seventh', '9 #11 13', ''],
    ['V', inC, 7, 'dominant-seventh', '9 13', '11'],
    ['vi', inC, 9, 'minor-seventh', '9 11', 'b13'],
    ['vii', inC, 11, 'half-diminished', '11 b13', 'b9'],
    ['V7/vi', inC, 4, 'dominant-seventh', 'b9 #9 b13', '11'],
    ['subV', inC, 1, 'dominant-seventh', '9 #11 13', ''],
    ['bVII7', inC, 10, 'dominant-seventh', '9 #11 13', ''],
    ['V of minor', inCMinor, 7, 'dominant-seventh', 'b9 #9 b13', '11'],
    ['ii of minor', inCMinor, 2, 'half-diminished', '11 b13', 'b9'],
    ['bVI of minor', inCMinor, 8, 'major-seventh', '9 #11 13', ''],
  ];

  test.each(functions)('%s', (_name, key, above, id, tensions, care) => {
    const found = tensionsInKey(key, above, chordType(id));
    expect(found?.tensions.join(' ')).toBe(tensions);
    expect(found?.care.join(' ')).toBe(care);
  });

  test('an altered dominant and the tritone substitute are the same notes', () => {
    // Computed: the altered scale on a root is the Lydian dominant scale a tritone away.
    const altered = chordType('dominant-altered').tones;
    const lydian = chordType('dominant-thirteenth-sharp-eleventh').tones;
    expect(relativeTo(lydian, 6)).toBe(altered);
  });
});

function correlation(one: readonly number[], other: readonly number[]): number {
  const mean = (values: readonly number[]): number =>
    values.reduce((sum, each) => sum + each, 0) / values.length;
  const product = (a: readonly number[], b: readonly number[]): number =>
    a.reduce((sum, each, index) => sum + (each - mean(a)) * ((b[index] ?? 0) - mean(b)), 0);
  return product(one, other) / Math.sqrt(product(one, one) * product(other, other));
}

describe('key profiles', () => {
  // C. L. Krumhansl and E. J. Kessler, Psychological Review 89 (1982), correlate each profile with those of
  // the other keys; these of their coefficients, from memory. A slip in any value would move them.
  test.each([
    ['C major', 'G major', 'major', 7, 0.591],
    ['C major', 'F# major', 'major', 6, -0.683],
    ['C major', 'A minor', 'minor', 9, 0.651],
    ['C major', 'E minor', 'minor', 4, 0.536],
    ['C major', 'C minor', 'minor', 0, 0.511],
    ['C major', 'F minor', 'minor', 5, 0.215],
  ] as const)('%s and %s are as near as was published', (_one, _other, mode, above, published) => {
    const { major, ...rest } = keyProfiles.profiles['krumhansl-kessler'];
    const other = mode === 'major' ? major : rest.minor;
    const moved = major.map((_, tone) => other[(tone - above + 12) % 12] ?? 0);
    expect(Math.abs(correlation(major, moved) - published)).toBeLessThan(0.0025);
  });
});
