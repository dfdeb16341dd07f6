/** Kept voicings: for which chords they come back, and where. */
import { expect, test } from 'vitest';
import { createGrower } from '../../src/harmony/chord/palette.ts';
import { spelledChordOf } from '../../src/harmony/chord/spelled-chord.ts';
import { parseKey } from '../../src/harmony/key/key.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { relaxedBy } from '../../src/voicing/choose.ts';
import { type Kept, keptCandidates, keptProblem, withKept } from '../../src/voicing/kept.ts';
import type { Frame } from '../../src/voicing/voicing.ts';

const frame: Frame = {
  upper: { lowest: 50, highest: 74 },
  bass: { policy: 'root', lowest: 33, highest: 50 },
  voices: 3,
};

/** Three fourths-wide voices over the third. */
const fourths: Kept = {
  for: 'type',
  chord: 'Dm7',
  technique: 'fourths',
  label: 'three-part fourths over the 3rd',
  bass: 41,
  upper: [62, 67, 72],
};

function keyOf(name: string | undefined) {
  const parsed = name === undefined ? undefined : parseKey(name);
  return parsed?.ok === true ? parsed.value : undefined;
}

function foundFor(
  symbol: string,
  kept: readonly Kept[],
  { key, under = frame }: { readonly key?: string; readonly under?: Frame } = {},
) {
  const parsed = parseSymbol(symbol);
  if (!parsed.ok) throw new Error(parsed.problem);
  const grow = createGrower(keyOf(key), 'thirteenths', {});
  const harmony = grow(spelledChordOf(parsed.value).chord);
  return keptCandidates(kept, harmony, under, keyOf(key));
}

test('for its type it is transposed to every root, into the registers, and for no other type', () => {
  const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
  roots.forEach((root, pitchClass) => {
    const list = foundFor(`${root}m7`, [fourths]);
    expect(list?.voicings.length, root).toBeGreaterThan(0);
    for (const { bass = 0, upper, notes, label } of list?.voicings ?? []) {
      const shift = bass - 41;
      expect((shift + 120) % 12).toBe((pitchClass + 10) % 12);
      expect(upper).toEqual(fourths.upper.map((note) => note + shift));
      expect(notes).toEqual([bass, ...upper]);
      expect(label).toBe(fourths.label);
      expect(
        upper.every((note) => note >= 49 && note <= 75),
        `${root} ${upper}`,
      ).toBe(true);
    }
  });
  expect(foundFor('D7', [fourths])).toBeUndefined();
  expect(foundFor('Dm', [fourths])).toBeUndefined();
});

test('it stands in the octave nearest to where it was kept that fits both registers', () => {
  const bassOf = (symbol: string, under: Frame = frame) => {
    const list = foundFor(symbol, [fourths], { under });
    return list?.voicings.map(({ bass = 0 }) => bass);
  };
  // Kept over F2, its top on C5, which may go up to D5.
  expect(['Dm7', 'Ebm7', 'Gm7', 'C#m7', 'Bm7', 'Am7'].map((symbol) => bassOf(symbol))).toEqual([
    ...[[41], [42], [34], [40], [38], [36]],
  ]);
  // Where an octave up alone fits both.
  const high: Frame = { ...frame, upper: { lowest: 60, highest: 84 } };
  expect(bassOf('Bm7', { ...high, bass: { ...high.bass, highest: 60 } })).toEqual([50]);
  // Where none does: the nearest of those that fit best, and the bass is not given up for a semitone.
  const narrow: Frame = { ...frame, upper: { lowest: 62, highest: 72 } };
  expect(bassOf('C#m7', narrow)).toEqual([40]);
});

// Common practice, no source: a triad on the fifth degree has the flat seventh, one on the first the major.
test('a triad kept for its type has the seventh of its degree in the key', () => {
  // F A with E and D above: root, seventh, third, thirteenth.
  const triad: Kept = { ...fourths, chord: 'F', bass: 41, upper: [64, 69, 74], label: 'fourths' };
  const tonesOf = (symbol: string, key?: string) =>
    foundFor(symbol, [triad], key === undefined ? {} : { key })?.voicings.map(({ notes }) =>
      notes.map((note) => (note - (notes[0] ?? 0) + 48) % 12).join(' '),
    )[0];
  for (const symbol of ['C', 'F', 'A', 'Eb']) expect(tonesOf(symbol)).toBe('0 11 4 9');
  expect(['C', 'F', 'G'].map((symbol) => tonesOf(symbol, 'C major'))).toEqual([
    ...['0 11 4 9', '0 11 4 9', '0 10 4 9'],
  ]);
  expect(tonesOf('F', 'Bb major')).toBe('0 10 4 9');
});

test('for its degree it goes with the key, and for one chord nowhere else', () => {
  const degree: Kept = { ...fourths, for: 'degree', key: 'C major' };
  const shiftIn = (symbol: string, key?: string) => {
    const bass = foundFor(symbol, [degree], key === undefined ? {} : { key })?.voicings[0]?.bass;
    return bass === undefined ? undefined : (bass - 41 + 24) % 12;
  };
  expect(shiftIn('Dm7', 'C major')).toBe(0);
  expect(shiftIn('Fm7', 'Eb major')).toBe(3);
  expect(shiftIn('Dm7', 'Bb major')).toBeUndefined();
  expect(shiftIn('Dm7', 'C minor')).toBeUndefined();
  expect(shiftIn('Dm7')).toBeUndefined();
  const one: Kept = { ...fourths, for: 'chord' };
  expect(foundFor('Dm7', [one])?.voicings.map(({ notes }) => notes)).toEqual([[41, 62, 67, 72]]);
  expect(foundFor('Em7', [one])).toBeUndefined();
});

test('the narrower scope comes first, and of one scope the last that was kept', () => {
  const one: Kept = { ...fourths, for: 'chord', upper: [60, 65, 69], label: 'close' };
  expect(foundFor('Dm7', [one, fourths])?.voicings[0]?.label).toBe('close');
  expect(foundFor('Em7', [one, fourths])?.voicings[0]?.label).toBe(fourths.label);
  const again: Kept = { ...fourths, chord: 'Gm7', label: 'again', bass: 46 };
  expect(withKept([fourths, one], again)).toEqual([one, again]);
  expect(withKept([one], { ...one, chord: 'Gm7' })).toHaveLength(2);
});

test('a lead, a melody or a bass that is asked for comes first', () => {
  expect(foundFor('Dm7', [fourths], { under: { ...frame, lead: 72 } })?.voicings).toHaveLength(1);
  expect(foundFor('Dm7', [fourths], { under: { ...frame, lead: 69 } })).toBeUndefined();
  // Under a lead as played also where that leaves the register.
  const high = foundFor('Dm7', [fourths], { under: { ...frame, lead: 84 } })?.voicings;
  expect(high?.map(({ notes }) => notes)).toEqual([[53, 74, 79, 84]]);
  expect(foundFor('Dm7', [fourths], { under: { ...frame, ceiling: 60 } })?.voicings ?? []).toEqual(
    [],
  );
  const written = { ...frame, bass: { ...frame.bass, written: 9 } };
  expect(foundFor('Dm7', [fourths], { under: written })).toBeUndefined();
});

test('a bass that was chosen by ear is nothing given up; a register that is left is', () => {
  const givenUp = (symbol: string, upper: Frame['upper']) => {
    const parsed = parseSymbol(symbol);
    if (!parsed.ok) throw new Error(parsed.problem);
    const harmony = createGrower(undefined, 'thirteenths', {})(spelledChordOf(parsed.value).chord);
    const under: Frame = { ...frame, upper };
    const list = keptCandidates([fourths], harmony, under, undefined);
    const [voicing] = list?.voicings ?? [];
    return list && voicing && relaxedBy(voicing, list, harmony, under);
  };
  expect(givenUp('Dm7', frame.upper)).toEqual([]);
  expect(givenUp('Dm7', { lowest: 55, highest: 64 })).toContain('register of the upper voices');
});

test('what is wrong with one that was written by hand', () => {
  expect(keptProblem(fourths)).toBe('');
  expect(keptProblem({ ...fourths, chord: 'Hm7' })).toMatch(/^chord symbol "Hm7"/);
  expect(keptProblem({ ...fourths, for: 'degree' })).toMatch(/^A voicing kept for a degree needs/);
  expect(keptProblem({ ...fourths, upper: [67, 62] })).toMatch(/run from the lowest/);
});

// What a player of every root and inversion expects: the voicing that was kept while C was played, and
// grew to C9, is the voicing of C9.
test('kept for a plain chord it is for what it grew to as well, on any root; kept for more, for no less', () => {
  const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
  // C Bb D E, C B D E, C Bb Eb F.
  const grown: readonly (readonly [Kept, met: readonly string[], not: readonly string[]])[] = [
    [
      { ...fourths, chord: 'C', bass: 36, upper: [58, 62, 64], label: 'ninth' },
      ['', '7', '9', 'add9'],
      ['6', 'm7', 'maj7', '7(b9)', '7(#11)', '13', '9sus4', 'm9'],
    ],
    [
      { ...fourths, chord: 'C7', bass: 36, upper: [58, 62, 64], label: 'ninth' },
      ['7', '9'],
      ['', 'add9', 'maj9', '7(b9)'],
    ],
    [
      { ...fourths, chord: 'Cm7', bass: 36, upper: [58, 63, 65], label: 'eleventh' },
      ['m7', 'm7(add11)'],
      ['m', 'm9', 'm6', 'm7(b5)'],
    ],
    [
      { ...fourths, chord: 'C9', bass: 36, upper: [58, 62, 64], label: 'ninth' },
      ['9'],
      ['', '7', 'add9', '13'],
    ],
  ];
  const find = (kept: Kept, symbol: string, shift: number) => {
    // A dominant in its key, and what has a seventh outside any.
    const inKey = kept.chord === 'C' ? { key: `${roots[(shift + 5) % 12]} major` } : {};
    return foundFor(symbol, [kept], inKey)?.voicings[0]?.notes;
  };
  for (const [type, met, not] of grown) {
    for (const [shift, root] of roots.entries()) {
      const own = find(type, `${root}${met[0]}`, shift);
      expect(own?.map((note) => (note - shift) % 12)).toEqual(
        [36, ...type.upper].map((note) => note % 12),
      );
      for (const suffix of met) {
        expect(find(type, `${root}${suffix}`, shift), `${root}${suffix}`).toEqual(own);
      }
      // Each degree of a type may be altered with its chord; of one chord it is what it is.
      const one: Kept = {
        ...{ ...type, for: 'chord', chord: type.chord.replace('C', root) },
        ...{ bass: 36 + shift, upper: type.upper.map((note) => note + shift) },
      };
      for (const suffix of not) expect(find(one, `${root}${suffix}`, shift)).toBeUndefined();
    }
    const inversion = find(type, `C${met.at(-1)}/G`, 0);
    expect(inversion).toEqual(find(type, `C${met.at(-1)}`, 0));
  }
});

// As a triad kept for its type has the seventh of its degree: what is stated is known without a key.
test('kept for a type, it has each degree as it is stated; kept for one chord, its own', () => {
  const ninth: Kept = { ...fourths, chord: 'C', bass: 36, upper: [58, 62, 64], label: 'ninth' };
  const notesOf = (symbol: string, kept: Kept) => foundFor(symbol, [kept])?.voicings[0]?.notes;
  expect(notesOf('C9', ninth)).toEqual([36, 58, 62, 64]);
  expect(notesOf('Cmaj9', ninth)).toEqual([36, 59, 62, 64]);
  expect(notesOf('C7(b9)', ninth)).toEqual([36, 58, 61, 64]);
  expect(notesOf('C9', { ...ninth, for: 'chord' })).toEqual([36, 58, 62, 64]);
  expect(notesOf('Cmaj9', { ...ninth, for: 'chord' })).toBeUndefined();
});

test('what was kept for just this chord goes before what grew to it, in whatever scope', () => {
  const grown: Kept = { ...fourths, for: 'chord', chord: 'C', bass: 36, upper: [58, 62, 64] };
  const seventh: Kept = { ...grown, for: 'type', chord: 'C7', upper: [58, 64, 74], label: 'open' };
  const ninth: Kept = { ...grown, for: 'type', chord: 'C9', upper: [64, 70, 74], label: 'own' };
  const labelOf = (...kept: readonly Kept[]) => foundFor('C9', kept)?.voicings[0]?.label;
  expect(labelOf(grown, ninth)).toBe('own');
  expect(labelOf(ninth, seventh)).toBe('own');
  expect(labelOf({ ...grown, for: 'type' }, seventh)).toBe('open');
  expect(labelOf(seventh, { ...grown, for: 'type' })).toBe('open');
});
