/**
 * Chord labels people really write: MusicXML harmony shapes of 502 lead sheets (OpenEWLD, commit
 * ec03cbd8, MIT) and 975 labels of the McGill Billboard annotations 2.0 (Burgoyne, Wild, Fujinaga,
 * ISMIR 2011, CC0) in Harte's syntax.
 */
import { describe, expect, test } from 'vitest';
import { type Degree, semitonesOf } from '../../src/harmony/pitch/degree.ts';
import { formatSymbol } from '../../src/harmony/symbol/format-symbol.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { referenceRows, referenceText, testWithReference } from './reference.ts';

const kindsFile = 'labels-in-use/harmony_kinds.tsv';
const labelsFile = 'labels-in-use/labels.tsv';
const qualitiesFile = 'labels-in-use/harte_qualities.json';

/** W3C MusicXML 4.0, kind-value: what each kind sounds, in semitones. */
const kinds: Readonly<Record<string, readonly number[]>> = {
  major: [0, 4, 7],
  minor: [0, 3, 7],
  augmented: [0, 4, 8],
  diminished: [0, 3, 6],
  dominant: [0, 4, 7, 10],
  'major-seventh': [0, 4, 7, 11],
  'minor-seventh': [0, 3, 7, 10],
  'diminished-seventh': [0, 3, 6, 9],
  'augmented-seventh': [0, 4, 8, 10],
  'half-diminished': [0, 3, 6, 10],
  'major-minor': [0, 3, 7, 11],
  'major-sixth': [0, 4, 7, 9],
  'minor-sixth': [0, 3, 7, 9],
  'dominant-ninth': [0, 2, 4, 7, 10],
  'major-ninth': [0, 2, 4, 7, 11],
  'minor-ninth': [0, 2, 3, 7, 10],
  'dominant-11th': [0, 2, 4, 5, 7, 10],
  'minor-11th': [0, 2, 3, 5, 7, 10],
  'dominant-13th': [0, 2, 4, 5, 7, 9, 10],
  'minor-13th': [0, 2, 3, 5, 7, 9, 10],
  'suspended-fourth': [0, 5, 7],
  'suspended-second': [0, 2, 7],
  power: [0, 7],
  // Kinds of these files that are no kinds of the standard.
  'minor-major': [0, 3, 7, 11],
  'augmented-ninth': [0, 2, 4, 8, 10],
  maj69: [0, 2, 4, 7, 9],
};

const majorScale = [0, 2, 4, 5, 7, 9, 11];

/** The shape's notes: its kind with its degrees added, altered or taken away. */
function soundOfShape(kind: string, degrees: string): number[] {
  const found = new Set(kinds[kind] ?? []);
  for (const degree of degrees.split(';').filter((each) => each !== '')) {
    const [value = '1', alter = '0', how] = degree.split(':');
    const natural = majorScale[(Number(value) - 1) % 7] ?? 0;
    // A seventh is added from the dominant's: alter 0 is the minor one.
    const base = Number(value) === 7 && how === 'add' ? 10 : natural;
    const tone = (base + Number(alter) + 12) % 12;
    if (how === 'alter') found.delete(natural);
    if (how === 'subtract') found.delete(tone);
    else found.add(tone);
  }
  return [...found].sort((one, other) => one - other);
}

function soundOfText(text: string): number[] | undefined {
  const parsed = parseSymbol(`C${text}`);
  if (!parsed.ok) return undefined;
  const found = parsed.value.type.degrees.map((degree: Degree) => semitonesOf(degree));
  return [...new Set(found)].sort((one, other) => one - other);
}

/** Text that says less or more than its shape, with the reason. */
const textPolicies: Readonly<Record<string, string>> = {
  'minor-seventh m7 5:-1:alter': 'the text leaves the flattened 5th out',
  'dominant 7 5:1:alter': 'the text leaves the raised 5th out',
  'dominant 7 5:-1:alter': 'the text leaves the flattened 5th out',
  'dominant-ninth 9 11:1:add': 'the text leaves the raised 11th out',
  'dominant-11th 11': 'a dominant 11 drops its 3rd; the standard keeps it',
  'dominant-13th 13': 'a dominant 13 leaves the 11th out; the standard keeps it',
  'dominant-13th 13b9 9:-1:alter': 'a dominant 13 leaves the 11th out; the standard keeps it',
  'major 4 4:0:add': 'a bare 4 is a suspension, here it is added to the 3rd',
};

describe('labels in use', () => {
  testWithReference('every harmony shape with a text parses to what it sounds', kindsFile, () => {
    const shapes = referenceRows(kindsFile);
    expect(shapes).toHaveLength(100);
    const different: string[] = [];
    for (const row of shapes) {
      const { kind = '', text = '', 'degrees(value:alter:type)': degrees = '' } = row;
      if (text === '' || kind === 'None') continue;
      const found = soundOfText(text);
      expect(found, text).toBeDefined();
      const name = [kind, text, degrees].filter((part) => part !== '').join(' ');
      if (found?.join() !== soundOfShape(kind, degrees).join()) different.push(name);
    }
    expect([...new Set(different)].sort()).toEqual(Object.keys(textPolicies).sort());
  });

  testWithReference(
    'every chord label parses, and prints as a symbol that parses',
    labelsFile,
    () => {
      const labels = referenceRows(labelsFile).map(({ label = '' }) => label);
      expect(labels).toHaveLength(975);
      // 'N' says that there is no chord.
      const unread = labels.filter((label) => label !== 'N' && !parseSymbol(label).ok);
      expect(unread).toEqual([]);
      for (const label of labels.filter((each) => each !== 'N')) {
        const parsed = parseSymbol(label);
        if (!parsed.ok) continue;
        const printed = parseSymbol(formatSymbol(parsed.value));
        expect(printed.ok && printed.value.type === parsed.value.type, label).toBe(true);
      }
    },
  );

  testWithReference('shorthands sound as mir_eval has them', qualitiesFile, () => {
    const { QUALITIES } = JSON.parse(referenceText(qualitiesFile)) as {
      readonly QUALITIES: Readonly<Record<string, readonly number[]>>;
    };
    for (const [shorthand, bits] of Object.entries(QUALITIES)) {
      // mir_eval folds 9ths, 11ths and 13ths away before it compares; aug7 is none of Harte's.
      if (shorthand === '' || shorthand === 'aug7' || /9|11|13/.test(shorthand)) continue;
      const parsed = parseSymbol(`C:${shorthand}`);
      if (!parsed.ok) throw new Error(parsed.problem);
      const found = parsed.value.type.degrees.map(semitonesOf).sort((one, other) => one - other);
      expect(found, shorthand).toEqual(bits.flatMap((bit, tone) => (bit === 1 ? [tone] : [])));
    }
  });

  test('a fault in a label has its place', () => {
    const parsed = parseSymbol('C:mjr');
    expect(parsed).toMatchObject({ ok: false, position: 3 });
  });
});
