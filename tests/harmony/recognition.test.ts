/**
 * What notes are called, in context. Equal sets and their readings: computed from the definitions.
 * Which of them a musician means: common practice, no source, unless one is named.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { chordOf } from '../../src/harmony/chord/chord.ts';
import { spellRoot } from '../../src/harmony/chord/spelling.ts';
import { chordFunction } from '../../src/harmony/key/function.ts';
import { parseKey } from '../../src/harmony/key/key.ts';
import { nameNotes } from '../../src/harmony/naming/naming.ts';
import type { Degree } from '../../src/harmony/pitch/degree.ts';
import {
  allPitchClasses,
  membersOf,
  relativeTo,
  setOfNotes,
} from '../../src/harmony/pitch/pitch-class-set.ts';
import {
  formatPitchClass,
  parseNote,
  parseWrittenNote,
  pitchClassOfSpelled,
} from '../../src/harmony/pitch/pitch-name.ts';
import type { Context, Neighbour } from '../../src/harmony/recognition/context.ts';
import type { Reading } from '../../src/harmony/recognition/reading.ts';
import { rankReadings, recognise, recogniseSet } from '../../src/harmony/recognition/recognise.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { formatChord } from '../../src/harmony/symbol/symbol.ts';
import { casesOf, sampled } from '../helpers/round.ts';

function notesOf(text: string): number[] {
  return text.split(' ').map((name) => {
    const note = parseNote(name);
    if (note === undefined) throw new Error(`no note: ${name}`);
    return note;
  });
}

function neighbour(text: string) {
  const parsed = parseSymbol(text);
  if (!parsed.ok) throw new Error(parsed.problem);
  return { root: pitchClassOfSpelled(parsed.value.root), type: parsed.value.type };
}

function contextOf({ key, after, before }: Where): Context {
  const parsed = key === undefined ? undefined : parseKey(key);
  return {
    ...(parsed?.ok && { key: parsed.value }),
    ...(after !== undefined && { previous: neighbour(after) }),
    ...(before !== undefined && { next: neighbour(before) }),
  };
}

type Where = { readonly key?: string; readonly after?: string; readonly before?: string };

function symbolsOf(text: string, where: Where = {}): readonly string[] {
  return nameNotes(notesOf(text), contextOf(where)).readings.map(({ symbol }) => symbol);
}

/** Every key and none, after each of these chords on every root and after none. */
function* contextsOver(before: readonly Neighbour[]): Generator<Context> {
  const keys = 'C Db D Eb E F Gb G Ab A Bb B Cm C#m Dm Ebm Em Fm F#m Gm G#m Am Bbm Bm'.split(' ');
  const roots = Array.from({ length: 12 }, (_, root) =>
    before.map((chord) => ({ ...chord, root })),
  );
  for (const hasBass of [false, true]) {
    for (const where of [{}, ...keys.map((key) => contextOf({ key }))]) {
      yield { ...where, hasBass };
      for (const previous of roots.flat()) yield { ...where, hasBass, previous };
    }
  }
}

/** A dominant without its root, in the hand after its ii. */
function isAnnounced(reading: Reading, bass: number, { previous, hasBass }: Context): boolean {
  if (previous === undefined || hasBass === true || !reading.omitted.includes('1')) return false;
  const isSecond = ['minor-seventh', 'half-diminished'].includes(previous.type.id);
  const isDominant = ['3', 'b7'].every((degree) => reading.type.degrees.includes(degree as Degree));
  return isSecond && isDominant && (bass + reading.rootAboveBass - previous.root + 12) % 12 === 5;
}

type Case = readonly [reason: string, notes: string, best: string, where?: Where];

function tableOf(cases: readonly Case[]): void {
  const rows = cases.map(([reason, notes, best, where]) => ({ reason, notes, best, where }));
  test.each(rows)('$reason: $notes is $best', ({ notes, best, where }) => {
    expect(symbolsOf(notes, where)[0]).toBe(best);
  });
}

describe('without context', () => {
  tableOf([
    ['root position', 'C4 E4 G4', 'C'],
    ['first inversion', 'E4 G4 C5', 'C/E'],
    ['second inversion', 'G4 C5 E5', 'C/G'],
    ['doublings', 'C3 G3 E4 C5 G5', 'C'],
    ['the everyday name decides', 'C4 E4 G4 A4', 'C6'],
    ['and its bass', 'A3 C4 E4 G4', 'Am7'],
    ['inverted, it is the seventh chord', 'E4 G4 A4 C5', 'Am7/E'],
    ['minor sixth', 'C4 Eb4 G4 A4', 'Cm6'],
    ['half-diminished', 'A3 C4 Eb4 G4', 'Am7(b5)'],
    ['suspended fourth', 'C4 F4 G4', 'Csus4'],
    ['suspended second', 'F4 G4 C5', 'Fsus2'],
    ['fourths', 'G4 C5 F5', 'G7sus4'],
    ['a ninth over its third', 'E4 G4 B4 C5 D5', 'Cmaj9/E'],
    ['and over its fifth', 'G4 B4 C5 D5 E5', 'Cmaj9/G'],
    ['a minor ninth over its fifth', 'G4 Bb4 C5 D5 Eb5', 'Cm9/G'],
    ['a ninth over its seventh', 'Bb3 C4 D4 E4 G4', 'C9/Bb'],
    ['a flat ninth over its seventh', 'F4 G4 Ab4 B4 D5', 'G7(b9)/F'],
    ['an added ninth over its fifth', 'G4 C5 D5 E5', 'Cadd9/G'],
    ['a ninth over its ninth', 'D3 G4 Bb4 C5 E5', 'C9/D'],
    ['no fifth', 'C4 E4 Bb4', 'C7'],
    ['shell', 'C3 Bb3 E4', 'C7'],
    ['minor shell', 'C3 Bb3 Eb4', 'Cm7'],
    ['diminished seventh by its bass', 'C4 Eb4 Gb4 A4', 'Cdim7'],
    ['augmented by its bass', 'C4 E4 G#4', 'Caug'],
    ['flat fifth by its bass', 'Eb4 G4 A4 Db5', 'Eb7(b5)'],
    ['raised ninth', 'C4 E4 G4 Bb4 Eb5', 'C7(#9)'],
    ['whole tones', 'C4 D4 E4 F#4 G#4 A#4', 'C9(#5,#11)'],
    ['triad over its ninth below', 'B2 A3 C#4 E4', 'A/B'],
    ['hybrid: a major ninth without its third', 'A2 E4 G#4 B4', 'E/A'],
    ['hybrid: a ninth without its third', 'F#2 G#3 C#4 E4', 'C#m/F#'],
    ['hybrid: seventh chord', 'F2 C4 E4 G4 B4', 'Cmaj7/F'],
    ['hybrid: a major triad a tone above', 'C2 D4 F#4 A4', 'D/C'],
    // Its seventh and ninth are a Bb and a Db.
    ['hybrid: half an octave above', 'C2 F#3 A#3 C#4', 'Gb/C'],
    ['with the third it is an ordinary chord', 'C3 E4 G#4 B4', 'Cmaj7(#5)'],
    ['no altered scale where its notes have a name', 'G2 F3 B3 Db4 F4 Ab4', 'G7(b9,#11)'],
    ['a triad a third above the bass', 'A2 C4 E4 G4', 'Am7'],
    ['minor with major seventh', 'C4 Eb4 G4 B4', 'Cm(maj7)'],
    ['six nine', 'E3 C#4 F#4 G#4 B4', 'E6/9'],
    ['minor eleventh', 'A2 G3 B3 C4 D4 E4', 'Am11'],
    ['fifth', 'C4 G4', 'C5'],
    ['fourth', 'G3 C4', 'C5/G'],
    ['third', 'C4 E4', 'C'],
    ['minor seventh', 'C4 Bb4', 'C7(no3)'],
  ]);

  test('a hybrid is read both ways, its thirdless chord naming what is missing', () => {
    const { readings, technique } = nameNotes(notesOf('A2 E4 G#4 B4'), {});
    // One root rules all of it: the A that both names stand on.
    const onA = { root: 'A', bass: 'A', degrees: ['1', '5', '7', '9'], omitted: ['3'] };
    expect(readings[0]).toMatchObject({ symbol: 'E/A', ...onA });
    expect(readings[1]).toMatchObject({ symbol: 'Amaj9(no3)', ...onA });
    expect(technique).toEqual({
      id: 'hybrid',
      label: 'hybrid: major triad on the 5th over the root',
    });
  });

  test('two whole triads are a polychord as well', () => {
    expect(symbolsOf('D4 F#4 A4 B4 E5 G#5')).toContain('E\\D');
    // One above the other they are written as one.
    expect(symbolsOf('D3 F#3 A3 E4 G#4 B4').slice(0, 2)).toEqual(['E\\D', 'D6/9(#11)']);
    expect(symbolsOf('A2 C#3 E3 C4 Eb4 G4').slice(0, 2)).toEqual(['Cm\\A', 'A7(#9,#11)']);
    // Two that share a tone are a ninth or a seventh chord, where it has a name. Common practice, no source.
    expect(symbolsOf('C2 G2 Eb3 Bb3 D4 G4').slice(0, 2)).toEqual(['Cm9', 'Gm\\Cm']);
    expect(symbolsOf('Bb2 D3 F3 F4 Ab4 C5').slice(0, 2)).toEqual(['Bb9', 'Fm\\Bb']);
    expect(symbolsOf('C3 Eb3 G3 Eb4 G4 Bb4').slice(0, 2)).toEqual(['Cm7', 'Eb\\Cm']);
    expect(symbolsOf('C3 E3 G3 C4 Eb4 Ab4')[0]).toBe('Ab\\C');
    expect(symbolsOf('C3 E3 G3 B3 E4 G#4')[0]).toBe('E\\C');
  });

  test('a cluster is called one, and is nothing to voice', () => {
    const notes = notesOf('C4 Db4 D4');
    const { readings } = nameNotes(notes, {});
    expect(readings[0]).toMatchObject({ quality: 'cluster', degrees: ['1', 'b9', '9'] });
    expect(recognise(notes, {})).toBeUndefined();
  });

  test('a suspended second is a 2, an added one a 9', () => {
    // Common practice, no source: as the symbols say.
    const degreesOf = (text: string) => nameNotes(notesOf(text), {}).readings[0]?.degrees;
    expect(degreesOf('F4 G4 C5')).toEqual(['1', '2', '5']);
    expect(degreesOf('F4 A4 C5 G5')).toEqual(['1', '3', '5', '9']);
  });

  test('a single note is one', () => {
    expect(nameNotes([60], {}).readings).toMatchObject([{ quality: 'note', degrees: ['1'] }]);
  });
});

/** Sets with several names: computed. Each row's readings are all there, the bass choosing the first. */
describe('equal sets keep their runners-up', () => {
  const rows: readonly (readonly [string, readonly string[]])[] = [
    ['E4 G#4 B4 C#5', ['E6', 'C#m7/E', 'Amaj9/E']],
    ['C#4 E4 G#4 A#4', ['C#m6', 'A#m7(b5)/C#', 'F#9/C#', 'C7(b9,b13)/C#']],
    ['E4 A4 B4', ['Esus4', 'Asus2/E']],
    ['A3 C4 Eb4 Gb4', ['Adim7', 'Cdim7/A', 'Ebdim7/A', 'F#dim7/A']],
    ['A3 C#4 F4', ['Aaug', 'Dbaug/A', 'Faug/A']],
    ['A3 C#4 Eb4 G4', ['A7(b5)', 'Eb7(b5)/A']],
    ['C4 E4 G4 B4', ['Cmaj7', 'Am9/C']],
    ['C4 F4 G4 Bb4', ['C7sus4', 'Eb6/9/C']],
    ['C4 D4 E4 G4 A4', ['C6/9', 'D9sus4/C']],
    ['C4 Eb4 Gb4 B4', ['Cdim(maj7)', 'D13(b9)/C']],
  ];

  test.each(rows)('%s', (notes, wanted) => {
    // Over the notes' own bass in thirds below: spelled alike by root only.
    const found = rankReadings(setOfNotes(notesOf(notes)), (notesOf(notes)[0] ?? 0) % 12, {});
    const names = found.map(({ reading }) => {
      const chord = chordOf(reading, (notesOf(notes)[0] ?? 0) % 12);
      return `${chord.root} ${chord.type.symbol}`;
    });
    const expected = wanted.map((symbol) => {
      const { root, type } = neighbour(symbol.replace(/\/[A-G][#b]?$/, ''));
      return `${root} ${type.symbol}`;
    });
    expect(names[0]).toBe(expected[0]);
    expect(names).toEqual(expect.arrayContaining(expected));
  });
});

describe('context decides', () => {
  tableOf([
    ['vi or iii, not a sixth chord', 'C#4 E4 G#4 B4', 'C#m7', { key: 'A' }],
    ['vi in E too', 'C#4 E4 G#4 B4', 'C#m7', { key: 'E' }],
    ['the tonic with its sixth', 'E4 G#4 B4 C#5', 'E6', { key: 'E', after: 'B7' }],
    ['IV6 in the hand is ii7', 'C4 E4 G4 A4', 'Am7/C', { key: 'G' }],
    ['over a bass of its own it is IV6', 'C2 E4 G4 A4', 'C6', { key: 'G' }],
    ['an inversion under the hand is no new root', 'C#4 E4 A4', 'A/C#', { key: 'A' }],
    ['a tritone is 3rd and 7th of the key’s dominant', 'G#4 D5', 'E7/G#', { key: 'A' }],
    ['and of another key’s', 'G#4 D5', 'Bb7/Ab', { key: 'Eb' }],
    ['a third in the key', 'A4 C5', 'Am', { key: 'Am' }],
    ['rootless after its ii', 'F4 A4 B4 E5', 'G13/F', { key: 'C', after: 'Dm7' }],
    ['a third of it', 'F4 A4 B4 D5', 'G9/F', { key: 'C', after: 'Dm7' }],
    ['in root position it stays itself', 'B3 D4 F4 A4', 'Bm7(b5)', { key: 'C', after: 'Dm7' }],
    [
      'a rootless grip after its ii, in flats',
      'C4 E4 F#4 A4 B4',
      'D13/C',
      { key: 'G', after: 'Am7' },
    ],
    ['a minor seventh in third inversion', 'Ab3 Bb3 Db4 F4', 'Bbm7/Ab', { key: 'Eb' }],
    ['and on the fourth degree', 'Gb3 Ab3 Cb4 Eb4', 'Abm7/Gb', { key: 'Eb' }],
    ['half-diminished in third inversion', 'Eb3 F3 Ab3 Cb4', 'Fm7(b5)/Eb', { key: 'Eb' }],
    ['its seventh in the bass is no triad apart', 'A3 Bb3 D4 F4', 'Bbmaj7/A', { key: 'Eb' }],
    ['a tonic sixth in F minor, inverted', 'Ab3 C4 D4 F4', 'Fm6/Ab', { key: 'Fm' }],
    ['over its sixth it is the other chord', 'D4 F4 Ab4 C5', 'Dm7(b5)', { key: 'Fm' }],
    ['a tonic seventh in D minor, inverted', 'F3 A3 C4 D4', 'Dm7/F', { key: 'Dm' }],
    [
      'after its own dominant it is F all the same',
      'F3 A3 C4 D4',
      'F6',
      { key: 'Dm', after: 'C7' },
    ],
    ['the left hand without its root, in C', 'F3 A3 B3 E4', 'G13/F', { key: 'C' }],
    ['and from the third', 'B3 E4 F4 A4', 'G13/B', { key: 'C' }],
    ['in F#m it is the altered dominant', 'F3 A3 B3 E4', 'C#7(#9,b13)/E#', { key: 'F#m' }],
    ['over a bass of its own it is not', 'F2 A3 B3 E4', 'Fmaj7(#11)', { key: 'C' }],
    ['nor where F has been announced', 'F4 A4 B4 E5', 'Fmaj7(#11)', { key: 'C', after: 'C7' }],
    ['nor in A minor', 'F3 A3 B3 E4', 'Fmaj7(#11)', { key: 'Am' }],
    ['a left hand at D3 is no bass', 'D3 F#3 G#3 C#4', 'E13/D', { key: 'A', after: 'Bm7' }],
    ['a tonic without its root', 'Eb4 G4 A4 D5', 'Cm6/9/Eb', { key: 'Cm', after: 'G7' }],
    ['third and seventh over a low root', 'C2 B3 E4 A4', 'Cmaj13', { key: 'C' }],
    ['the suspended dominant, inverted', 'C4 D4 F4 G4', 'G7sus4/C', { key: 'C' }],
    ['a triad over its seventh', 'C2 D4 F#4 A4', 'D/C', { key: 'G' }],
    ['a minor one', 'G2 A3 C4 E4', 'Am/G', { key: 'C' }],
    ['by what follows: half-diminished', 'F#4 A4 C5 E5', 'F#m7(b5)', { before: 'B7' }],
    ['a diminished seventh resolves up a semitone', 'C4 Eb4 Gb4 A4', 'Cdim7', { before: 'Db' }],
    ['to E it is another', 'C4 D#4 F#4 A4', 'D#dim7/C', { before: 'E', key: 'E' }],
    ['a flat fifth by its resolution: Ab', 'Eb4 G4 A4 Db5', 'Eb7(b5)', { before: 'Ab' }],
    ['and D', 'A4 C#5 Eb5 G5', 'A7(b5)', { before: 'D' }],
  ]);

  /**
   * A triad keeps its root in two inversions, a seventh chord in three (figures 6, 6/4; 6/5, 4/3,
   * 4/2): Aldwell, Schachter and Cadwallader, Harmony and Voice Leading, from memory.
   */
  test('a whole triad or seventh chord is itself in every inversion, key and company', () => {
    const named = ['C', 'Cm', 'Cdim', 'Cmaj7', 'Cm7', 'C7', 'Cm7b5', 'Cm(maj7)'].map(neighbour);
    const before = ['Cmaj7', 'Cm7', 'C7', 'C7sus4', 'Cdim7'].map(neighbour);
    for (const { type } of named) {
      for (const bass of membersOf(type.tones)) {
        for (const context of sampled([...contextsOver(before)], 23)) {
          const [best] = rankReadings(type.tones, bass, context);
          if (best !== undefined && isAnnounced(best.reading, bass, context)) continue;
          expect(best?.reading).toMatchObject({ kind: 'chord', omitted: [] });
          const twins = ['major-sixth', 'minor-sixth', 'minor-seventh', 'half-diminished'];
          expect([type.id, ...twins]).toContain(best?.reading.type.id);
        }
      }
    }
  });

  test('the same notes in the same context always read alike', () => {
    const set = fc.integer({ min: 1, max: allPitchClasses });
    const context = fc.record(
      {
        key: fc.constantFrom('A', 'Ebm', 'F#', 'C').map((name) => {
          const parsed = parseKey(name);
          if (!parsed.ok) throw new Error(parsed.problem);
          return parsed.value;
        }),
        previous: fc.constantFrom('Dm7', 'G7', 'Cmaj7', 'F#dim7').map(neighbour),
        hasBass: fc.boolean(),
      },
      { requiredKeys: [] },
    );
    fc.assert(
      fc.property(set, fc.nat(11), context, (notes, bass, where) => {
        const remembered = recogniseSet(notes, bass, where);
        expect(recogniseSet(notes, bass, where)).toBe(remembered);
        const [best] = rankReadings(notes | (1 << bass), bass, where);
        expect(remembered).toBe(best?.reading);
      }),
      { numRuns: casesOf(2000) },
    );
  });

  test('transposed notes in a transposed key read alike, transposed', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: allPitchClasses }), fc.nat(11), (notes, up) => {
        const there = recogniseSet(relativeTo(notes, 12 - up), up, {});
        expect(there).toBe(recogniseSet(notes, 0, {}));
      }),
    );
  });
});

describe('a held chord keeps its name while fingers come and go', () => {
  function heldAs(held: string, now: string): string {
    const holding = recognise(notesOf(held), {});
    if (holding === undefined) throw new Error(`${held} has no name`);
    const chord = recognise(notesOf(now), { holding });
    return chord === undefined ? '' : formatChord(chord, undefined);
  }

  const cases: readonly (readonly [string, string, string, string])[] = [
    ['a finger lifts', 'C4 E4 G4 B4', 'E4 G4 B4', 'Cmaj7'],
    ['two of four lift', 'C4 E4 G4 A4', 'C4 E4', 'C6'],
    ['a passing sixth', 'A3 C4 E4', 'A3 C4 E4 F4', 'Am(b6)'],
    ['something else is clearly meant', 'C4 E4 G4', 'D4 F4 A4', 'Dm'],
    ['a new root in the bass', 'C4 E4 G4', 'A3 C4 E4 G4', 'Am7'],
  ];

  test.each(cases)('%s', (_reason, held, now, wanted) => {
    expect(heldAs(held, now)).toBe(wanted);
  });
});

describe('function', () => {
  const cases: readonly (readonly [string, string, string])[] = [
    ['C', 'Cmaj7', 'tonic'],
    ['C', 'Am7', 'tonic'],
    ['C', 'Dm9', 'subdominant'],
    ['C', 'Fmaj7(#11)', 'subdominant'],
    ['C', 'G7', 'dominant'],
    ['C', 'G7alt', 'dominant'],
    ['C', 'G13(b9)', 'dominant'],
    ['C', 'G7sus4', 'dominant'],
    ['C', 'Bm7(b5)', 'dominant'],
    ['C', 'Bdim7', 'dominant'],
    ['C', 'Gaug', 'dominant'],
    ['C', 'A7(b9,b13)', 'secondary dominant'],
    ['C', 'D9', 'secondary dominant'],
    ['C', 'E7', 'secondary dominant'],
    ['C', 'F#dim7', 'secondary dominant'],
    ['C', 'C#dim7', 'secondary dominant'],
    ['C', 'Db9(#11)', 'tritone substitute'],
    ['C', 'Ab7', 'tritone substitute'],
    ['C', 'Fm7', 'borrowed'],
    ['C', 'Bb7', 'borrowed'],
    ['C', 'Ebmaj7', 'borrowed'],
    ['C', 'Abmaj7', 'borrowed'],
    ['C', 'F#m7', 'none'],
    ['F#m', 'F#m6', 'tonic'],
    ['F#m', 'G#m7(b5)', 'subdominant'],
    ['F#m', 'C#7(b9)', 'dominant'],
    ['F#m', 'E#dim7', 'dominant'],
    ['F#m', 'A', 'tonic'],
    ['F#m', 'G7', 'tritone substitute'],
  ];

  test.each(cases)('in %s, %s is %s', (keyName, symbol, wanted) => {
    const key = parseKey(keyName);
    if (!key.ok) throw new Error(key.problem);
    const { root, type } = neighbour(symbol);
    expect(chordFunction(key.value, root, type)).toBe(wanted);
  });
});

describe('spelling', () => {
  function named(notes: string, where: Where = {}): string {
    return nameNotes(notesOf(notes), contextOf(where))
      .notes.map(({ name }) => name)
      .join(' ');
  }

  const cases: readonly (readonly [string, string, string, Where?])[] = [
    ['no D# in an Ab7', 'G#3 C4 D#4 F#4', 'Ab3 C4 Eb4 Gb4'],
    ['sharps in a sharp key', 'C#4 E4 G#4', 'C#4 E4 G#4', { key: 'A' }],
    ['flats in a flat key', 'C#4 F4 G#4', 'Db4 F4 Ab4', { key: 'Ab' }],
    ['a raised ninth above the third', 'G3 B3 F4 A#4', 'G3 B3 F4 A#4', { key: 'A' }],
    ['no B# for a raised ninth', 'A3 C#4 G4 C5', 'A3 C#4 G4 C5', { key: 'D' }],
    ['the leading tone of F# minor', 'C#4 F4 G#4 B4', 'C#4 E#4 G#4 B4', { key: 'F#m' }],
    ['the octave belongs to the letter', 'Ab3 B3 Eb4', 'Ab3 Cb4 Eb4', { key: 'Eb' }],
  ];

  const rows = cases.map(([reason, notes, wanted, where]) => ({ reason, notes, wanted, where }));
  test.each(rows)('$reason', ({ notes, wanted, where }) => {
    expect(named(notes, where)).toBe(wanted);
  });

  /** By the chord's semitones above the tonic: the root's name for each kind of chord in a key. */
  const rootsIn = (keyName: string, suffix: string): string => {
    const key = parseKey(keyName);
    const parsed = parseSymbol(`C${suffix}`);
    if (!key.ok || !parsed.ok) throw new Error(`${keyName} or ${suffix} does not parse`);
    const { value } = key;
    return Array.from({ length: 12 }, (_, above) =>
      formatPitchClass(spellRoot((value.pitchClass + above) % 12, parsed.value.type, value)),
    ).join(' ');
  };

  // Borrowed triads take the letters of the parallel minor, secondary dominants and leading-tone
  // chords those of the degree they lead to: R. Hutchinson, Music Theory for the 21st-Century
  // Classroom, on mode mixture, the Neapolitan and secondary dominants (from memory). A dominant or a
  // diminished chord that would need a double flat is written plainly: common practice, no source.
  test.each([
    ['C', '', 'C Db D Eb E F F# G Ab A Bb B'],
    ['C', '7', 'C Db D Eb E F Gb G Ab A Bb B'],
    ['C', 'dim7', 'C C# D Eb E F F# G G# A Bb B'],
    ['Eb', '', 'Eb Fb F Gb G Ab A Bb Cb C Db D'],
    ['Eb', 'maj7', 'Eb Fb F Gb G Ab A Bb Cb C Db D'],
    ['Eb', '7', 'Eb E F Gb G Ab A Bb B C Db D'],
    ['Eb', 'm7', 'Eb E F Gb G Ab A Bb B C Db D'],
    ['Eb', 'dim7', 'Eb E F F# G Ab A Bb B C Db D'],
    ['Eb', 'sus2', 'Eb E F Gb G Ab A Bb Cb C Db D'],
    ['Ab', '', 'Ab A Bb Cb C Db D Eb Fb F Gb G'],
    ['Ab', '7', 'Ab A Bb B C Db D Eb E F Gb G'],
    ['Db', '', 'Db D Eb Fb F Gb G Ab A Bb Cb C'],
    ['F', 'dim7', 'F F# G Ab A Bb B C C# D Eb E'],
    ['A', '', 'A Bb B C C# D Eb E F F# G G#'],
    ['A', 'm7(b5)', 'A A# B C C# D D# E E# F# G G#'],
    ['B', '7', 'B C C# D D# E F F# G G# A A#'],
    ['Am', 'dim7', 'A A# B C C# D D# E F F# G G#'],
    ['Am', '7', 'A Bb B C C# D Eb E F F# G G#'],
    ['Ebm', '', 'Eb Fb F Gb G Ab A Bb Cb C Db D'],
  ])('roots in %s of X%s', (key, suffix, wanted) => {
    expect(rootsIn(key, suffix)).toBe(wanted);
  });

  test('heard in a key, the borrowed chord is named in it: bVI, and bVI over its third', () => {
    // Mode mixture, as above.
    expect(symbolsOf('Cb4 Eb4 Gb4', { key: 'Eb' })[0]).toBe('Cb');
    expect(symbolsOf('Eb3 B3 F#4', { key: 'Eb' })[0]).toBe('Cb/Eb');
    expect(symbolsOf('E4 G#4 B4', { key: 'Ab' })[0]).toBe('Fb');
    expect(named('E4 G#4 B4 D#5', { key: 'Ab' })).toBe('Fb4 Ab4 Cb5 Eb5');
  });

  // A spelling that was chosen is kept, one that spells no chord is put right: common practice, no
  // source.
  test.each([
    ['Cb4 Eb4 Gb4', undefined, 'Cb', 'Cb4 Eb4 Gb4'],
    ['B3 D#4 F#4', 'Eb', 'B', 'B3 D#4 F#4'],
    ['Bbb3 Db4 Fb4', undefined, 'Bbb', 'Bbb3 Db4 Fb4'],
    ['A#3 C#4 E#4', undefined, 'A#m', 'A#3 C#4 E#4'],
    ['A#3 C#4 F4', undefined, 'Bbm', 'Bb3 Db4 F4'],
    ['G#3 C4 D#4', undefined, 'Ab', 'Ab3 C4 Eb4'],
  ])('written %s (in %s) it is %s', (notes, key, symbol, names) => {
    const letters = notes.split(' ').map((note) => parseWrittenNote(note)?.spelled);
    const context = contextOf(key === undefined ? {} : { key });
    const found = nameNotes(notesOf(notes), context, 'ascii', letters);
    expect(found.readings[0]?.symbol).toBe(symbol);
    expect(found.notes.map(({ name }) => name).join(' ')).toBe(names);
  });

  test('a symbol’s name and its notes agree, in every key', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: allPitchClasses }),
        fc.constantFrom('C', 'G', 'F#', 'Db', 'Am', 'Ebm', 'G#m'),
        (set, keyName) => {
          const notes = Array.from({ length: 12 }, (_, tone) => 60 + tone).filter(
            (note) => (set & (1 << (note % 12))) !== 0,
          );
          const { readings } = nameNotes(notes, contextOf({ key: keyName }));
          expect(readings.length).toBeGreaterThan(0);
          for (const { symbol, degrees } of readings) {
            expect(parseSymbol(symbol).ok, symbol).toBe(true);
            expect(degrees).toHaveLength(notes.length);
          }
        },
      ),
      { numRuns: 400 },
    );
  });
});

describe('how notes are built', () => {
  // Worked voicings by definition of the techniques; T. Pease and K. Pullig, Modern Jazz Voicings, ch.
  // 5, for fourths; D. Terefenko, Jazz Theory, p. 47, for drop voicings.
  const cases: readonly (readonly [notes: string, id: string, label: string, where?: Where])[] = [
    ['A2 E4 G#4 B4', 'hybrid', 'hybrid: major triad on the 5th over the root'],
    ['G#2 F#4 B4 E5', 'fourths', 'three-part fourths over the 3rd'],
    ['D3 F#4 B4 E5', 'fourths', 'three-part fourths over the root', { key: 'D' }],
    ['F#4 B4 E5', 'fourths', 'three-part fourths'],
    ['G#3 C#4 E4 A4', 'drop-2', 'drop 2'],
    ['Bb3 Eb4 G4 D5', 'drop-2', 'drop 2'],
    ['G3 Eb4 Bb4 D5', 'drop-3', 'drop 3'],
    ['Eb3 Bb3 G4 D5', 'drop-2-4', 'drop 2 and 4'],
    ['Eb4 G4 Bb4 D5', 'close', 'close position'],
    ['Bb2 D4 F4 Ab4 C5', 'close', 'close position over the root'],
    ['D3 G3 C4 F4 A4', 'fourths-and-third', 'three fourths and a major third'],
    ['A2 G#3 C#4', 'shell', 'shell, R-7-3'],
    ['Db3 F3 B3', 'shell', 'shell, R-3-7'],
    ['C4 D4 E4 F4', 'cluster', 'four-part cluster'],
    [
      'Eb2 G3 Db4 F4 A4 C5',
      'upper-structure',
      'upper structure: major triad on the 9th over the root',
    ],
    ['C4 G4 D5 E5', 'fifths', 'three-part fifths and the third'],
    ['C2 G2 D3 A3', 'fifths', 'four-part fifths'],
    ['D3 A3 F#4', 'open', 'open position'],
    ['Eb2 Bb2 G3 D4 F4', 'spread', 'spread over the root'],
    ['B3 E4 F4 A4', 'rootless', 'rootless, A form', { key: 'C' }],
    ['F3 A3 B3 E4', 'rootless', 'rootless, B form', { key: 'C' }],
    ['Eb4 F4 Ab4 C5 Eb5', 'block', 'block'],
    ['C#4 E4 F#4 A4 E5', 'block', 'block, drop 2'],
    ['D3 F#3 A3 E4 G#4 B4', 'polychord', 'polychord: major triad on the 9th above a major triad'],
    ['C4 E4', '', 'two notes'],
    ['C4 C5', '', 'octaves'],
    ['C4', '', 'a single note'],
  ];

  const rows = cases.map(([notes, id, label, where]) => ({ notes, id, label, where }));
  test.each(rows)('$notes: $label', ({ notes, id, label, where }) => {
    expect(nameNotes(notesOf(notes), contextOf(where ?? {})).technique).toEqual({ id, label });
  });
});
