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
