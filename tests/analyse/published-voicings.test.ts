/**
 * Worked voicings of published books, and of their definitions, analysed over the chord they are
 * written for: the technique that is told is the book's. Sources stand beside the rows; where a book
 * was read in excerpts or second-hand, the values follow from its rules.
 */
import { describe, expect, test } from 'vitest';
import { type Analysis, analyse } from '../../src/analyse/analyse.ts';
import type { DescribedChord } from '../../src/analyse/describe.ts';
import { passageOfMidi } from '../../src/analyse/midi-passage.ts';
import { parseChart } from '../../src/chart/parse.ts';
import type { Chord } from '../../src/harmony/chord/chord.ts';
import { nameBest } from '../../src/harmony/naming/naming.ts';
import { referenceRows, type Row as TableRow, testWithReference } from '../harmony/reference.ts';
import { file, track } from '../midi/smf.ts';
import { midiOf } from './own-passages.ts';

type Row = readonly [technique: string, symbol: string, notes: string];

const published: Readonly<Record<string, readonly Row[]>> = {
  'close position, by definition': [
    ['close', 'Amaj7', '57 61 64 68'],
    ['close', 'Amaj7', '61 64 68 69'],
    ['close', 'Amaj7', '68 69 73 76'],
  ],
  'D. Terefenko, Jazz Theory, ch. 4: drop voicings (definition)': [
    ['drop-2', 'Ebmaj7', '58 63 67 74'],
    ['drop-2-4', 'Ebmaj7', '51 58 67 74'],
    ['drop-2', 'F#m7', '61 66 69 76'],
    ['drop-2-4', 'F#m7', '54 61 69 76'],
    ['drop-2', 'Ab7', '54 60 63 68'],
    ['drop-2', 'C#dim7', '55 61 64 70'],
  ],
  'G. Lindsay, Jazz Arranging Techniques, ch. 10: four-way close (read in excerpt)': [
    ['close', 'Dbmaj7', '65 68 70 73'],
    ['close', 'D7sus4', '60 62 67 69'],
  ],
  'M. Levine, The Jazz Piano Book, ch. 3, and common practice: shells': [
    ['shell', 'Amaj7', '45 56 61'],
    ['shell', 'Db7', '49 53 59'],
    ['shell', 'Dbmaj7', '49 53 60'],
  ],
  'D. Tymoczko, A Geometry of Music (2011), fig. 10.1.2: left-hand voicings (caption read)': [
    ['rootless', 'Bm7', '50 54 57 61'],
    ['rootless', 'E7', '50 54 56 61'],
    ['rootless', 'Ebm7', '49 53 54 58'],
    ['rootless', 'Ab7', '48 53 54 58'],
  ],
  'M. Levine, The Jazz Piano Book, ch. 8, and common practice: altered grips': [
    ['rootless', 'C#7alt', '53 57 59 64'],
    ['rootless', 'Db7alt', '59 64 65 69'],
    ['rootless', 'B7(b9)', '51 54 57 60'],
    ['rootless', 'E7sus4', '57 59 62 66'],
  ],
  'R. Hutchinson, Music Theory for the 21st-Century Classroom, 31.7: spread voicings': [
    ['spread', 'Ebmaj9', '39 46 55 62 65'],
    ['spread', 'F#m9', '42 52 57 61 68'],
  ],
  'T. Pease and K. Pullig, Modern Jazz Voicings (2001), ch. 5: fourths (rules; computed)': [
    ['fourths', 'Dmaj7', '38 54 59 64'],
    ['fourths', 'C#m7', '37 54 59 64'],
    ['fourths', 'A6/9/C#', '37 54 59 64'],
    ['fourths', 'Eadd9/G#', '44 54 59 64'],
    ['fourths', 'B7sus4', '35 54 59 64'],
    ['fourths', 'Dadd9/F#', '42 52 57 62'],
    ['fourths', 'E7(#9)', '40 56 62 67'],
    ['fourths', 'Eb7(#11)', '39 58 63 69'],
    ['fourths', 'A13', '55 61 66 71 76'],
    ['fourths', 'E7alt', '56 62 67 72'],
  ],
  'three fourths and a major third, by definition': [
    ['fourths-and-third', 'C#m11', '49 54 59 64 68'],
    ['fourths-and-third', 'Amaj9', '49 54 59 64 68'],
    ['fourths-and-third', 'E6/9', '49 54 59 64 68'],
    ['fourths-and-third', 'F#9sus4', '49 54 59 64 68'],
    ['fourths-and-third', 'Dm11', '50 55 60 65 69'],
  ],
  'A. Ulanowsky, Harmony 4, ch. 7: hybrids (read second-hand)': [
    ['hybrid', 'E/A', '45 59 64 68'],
    ['hybrid', 'Ab/Db', '37 56 60 63'],
    ['hybrid', 'C#m/F#', '42 56 61 64'],
    ['hybrid', 'F#m7/B', '35 54 57 61 64'],
    ['hybrid', 'Dm/E', '40 57 62 65'],
    ['hybrid', 'Amaj7/B', '35 57 61 64 68'],
  ],
  'M. Levine, The Jazz Piano Book, ch. 14: upper structures': [
    ['upper-structure', 'Eb13(#11)', '55 61 65 69 72'],
    ['upper-structure', 'Eb7(#9)', '55 61 66 70 73'],
    ['upper-structure', 'Eb7(#9,b13)', '55 61 63 66 71'],
    ['upper-structure', 'Eb13(b9)', '55 61 64 67 72'],
    ['upper-structure', 'Eb7(b9,b13)', '55 61 64 67 71'],
    ['upper-structure', 'Eb13(b9,#11)', '55 61 64 69 72'],
  ],
  'common practice, no source': [
    ['open', 'D', '50 57 66'],
    ['block', 'F#m7', '61 64 66 69 76'],
    ['fifths', 'Amaj9', '45 52 59 61'],
  ],
};

function analysisOfChords(chords: readonly (readonly number[])[], chart?: string): Analysis {
  const events = chords.flatMap((notes, place) => [
    ...notes.map((note) => [place * 480, 0x90, note, 80] as const),
    ...notes.map((note) => [place * 480 + 470, 0x80, note, 64] as const),
  ]);
  const passage = passageOfMidi(midiOf(file(0, 480, track(...events))));
  if (!passage.ok) throw new Error(passage.problem);
  const parsed = chart === undefined ? undefined : parseChart(chart);
  const wish = parsed?.ok === true ? { chart: parsed.value } : {};
  const analysis = analyse(passage.value, wish);
  if (!analysis.ok) throw new Error(analysis.problem);
  return analysis.value;
}

const toNotes = (text: string): number[] => text.split(' ').map(Number);

describe('voicings of books, over their chords', () => {
  test.each(Object.entries(published))('%s', (_, rows) => {
    const told = rows.map(([, symbol, notes]) => {
      const [chord] = analysisOfChords([toNotes(notes)], `| ${symbol} |`).chords;
      return [chord?.technique, symbol, notes];
    });
    expect(told).toEqual(rows.map((row) => [...row]));
  });
});

// Four of the books' voicings have the notes of two techniques; which of them it is, only the passage
// around it can say: close position with the ninth for the root is the grip without it, and a shell
// with its tension a fourth above is a stack of fourths.
test.each([
  ['A7', '61 64 67 71', ['close', 'rootless']],
  ['Bm7', '62 66 69 73', ['close', 'rootless']],
  ['G#m7(b5)', '54 56 59 62', ['rootless', 'close']],
  ['Db7(#9)', '49 53 59 64', ['spread', 'fourths']],
])('%s as %s is told as one of its two techniques', (symbol, notes, techniques) => {
  const [chord] = analysisOfChords([toNotes(notes)], `| ${symbol} |`).chords;
  expect(techniques).toContain(chord?.technique);
});

type Quarter = { readonly voices: readonly number[] };

/** The first chorales of the reference, quarter by quarter, soprano first. */
function chorales(count: number): readonly (readonly Quarter[])[] {
  const byName = new Map<string, Quarter[]>();
  for (const row of referenceRows('chorale-voices/quarters.tsv')) {
    const name = row['chorale'] ?? '';
    if (byName.size === count && !byName.has(name)) break;
    const voices = [row['soprano'], row['alto'], row['tenor'], row['bass']].map(Number);
    byName.set(name, [...(byName.get(name) ?? []), { voices }]);
  }
  return [...byName.values()];
}

/** Each voice on a track of its own. */
function choraleFile(quarters: readonly Quarter[]): Analysis {
  const tracks = [0, 1, 2, 3].map((voice) =>
    track(
      ...quarters.flatMap(({ voices }, place) => [
        [place * 480, 0x90 | voice, voices[voice] ?? 0, 80] as const,
        [place * 480 + 470, 0x80 | voice, voices[voice] ?? 0, 64] as const,
      ]),
    ),
  );
  const passage = passageOfMidi(midiOf(file(1, 480, ...tracks)));
  if (!passage.ok) throw new Error(passage.problem);
  const analysis = analyse(passage.value);
  if (!analysis.ok) throw new Error(analysis.problem);
  return analysis.value;
}

const ascending = (notes: readonly number[]): number[] =>
  [...notes].sort((one, other) => one - other);

/** Three tones in four parts, read as the triad they are; an octave is in neither position to all. */
function isFourPartTriad(own: readonly number[], { notes, chord }: DescribedChord): boolean {
  const isTriad = new Set(own.map((note) => note % 12)).size === 3;
  const areFour = new Set(own).size === 4 && notes.length === 4;
  const [, tenor = 0, , soprano = 0] = ascending(own);
  const isOctave = soprano - tenor === 12;
  return isTriad && areFour && !isOctave && chord.type.degrees.length === 3;
}

/** Close: less than an octave from the tenor to the soprano. */
function isToldInPosition(own: readonly number[], { technique }: DescribedChord): boolean {
  const [, tenor = 0, , soprano = 0] = ascending(own);
  return (technique === 'close') === soprano - tenor < 12;
}

function isToldDoubled(own: readonly number[], { doublings, notes }: DescribedChord): boolean {
  const twice = own.find((note, voice) =>
    own.some((other, place) => place > voice && other % 12 === note % 12),
  );
  const degree = notes.find(({ midi }) => midi === twice)?.degree;
  return doublings.length === 1 && doublings[0]?.degree === degree;
}

function isToldOverBass(own: readonly number[], { bassKind, chord }: DescribedChord): boolean {
  const isOnRoot = (ascending(own)[0] ?? 0) % 12 === chord.root;
  const isOfLine = bassKind === 'line' || bassKind === 'pedal';
  return isOfLine || (bassKind === 'root') === isOnRoot;
}

testWithReference(
  'chorales: close and open position, inversions and doublings as their definitions have it',
  'chorale-voices/quarters.tsv',
  () => {
    const judged = chorales(6).flatMap((quarters) =>
      choraleFile(quarters).chords.flatMap((chord) => {
        const own = quarters[Math.round(chord.moment.at / 500_000)]?.voices ?? [];
        return isFourPartTriad(own, chord) ? [{ own, chord }] : [];
      }),
    );
    const shareOf = (isTold: (own: readonly number[], chord: DescribedChord) => boolean): number =>
      judged.filter(({ own, chord }) => isTold(own, chord)).length / judged.length;
    expect(judged.length).toBeGreaterThan(100);
    expect(shareOf(isToldInPosition)).toBeGreaterThan(0.95);
    expect(shareOf(isToldDoubled)).toBe(1);
    expect(shareOf(isToldOverBass)).toBeGreaterThan(0.98);
  },
);

/** A diminished seventh and an augmented triad have no root of their own, augmented sixths none at all. */
function isRootOf({ root, type = '' }: TableRow, read: number): boolean {
  if (['It', 'Ger', 'Fr'].includes(type)) return true;
  const step = { o7: 3, '+': 4 }[type] ?? 12;
  return (read - Number(root) + 12) % step === 0;
}

testWithReference(
  'chords of analysts in their order: roots no worse than naming each after the one before',
  'labelled-harmony/progressions.tsv',
  () => {
    const pieces = referenceRows('labelled-harmony/progressions.tsv').filter(({ piece = '' }) =>
      ['0', '7', '14'].includes(piece),
    );
    const rows = pieces.filter(({ pitch_classes = '' }) => pitch_classes.split(',').length > 2);
    const grips = rows.map(({ pitch_classes = '', bass }) => [
      36 + Number(bass),
      ...pitch_classes
        .split(',')
        .filter((each) => each !== bass)
        .map((each) => 60 + Number(each)),
    ]);
    const { chords } = analysisOfChords(grips);
    const count = { analysed: 0, named: 0 };
    let previous: Chord | undefined;
    rows.forEach((row, place) => {
      const at = place * 500_000;
      const heard = chords.findLast(({ moment }) => moment.at <= at + 1000);
      previous = nameBest(grips[place] ?? [], previous === undefined ? {} : { previous }).chord;
      if (heard !== undefined && isRootOf(row, heard.chord.root)) count.analysed += 1;
      if (isRootOf(row, previous.root)) count.named += 1;
    });
    expect(rows.length).toBeGreaterThan(300);
    expect(count.analysed).toBeGreaterThanOrEqual(count.named);
    expect(count.analysed / rows.length).toBeGreaterThan(0.9);
  },
);

test('a bass is named by its degree throughout, a foreign one too', () => {
  const chords = ['41 60 65 69 76', '39 60 65 69 76', '45 60 65 69 76', '48 64 69 72 79'];
  const { chords: found } = analysisOfChords(
    chords.map(toNotes),
    '| Fmaj7 Fmaj7/Eb Fmaj7/A Am7/C |',
  );
  expect(found.map(({ label }) => label)).toEqual([
    'drop 2 over the root',
    'drop 2 over the b7th',
    'drop 2 over the 3rd',
    'drop 2 over the 3rd',
  ]);
});
