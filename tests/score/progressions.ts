/** Invented progressions for tests of scores and hand-outs. */
import * as fc from 'fast-check';
import { chordTypes } from '../../src/harmony/chord/chord-type.ts';
import { spellInKey } from '../../src/harmony/chord/spelling.ts';
import { parseKey } from '../../src/harmony/key/key.ts';
import { formatNote, parseNote } from '../../src/harmony/pitch/pitch-name.ts';
import type { MelodyNote, Progression, ProgressionChord } from '../../src/score/progression.ts';

export function keyOf(text: string) {
  const parsed = parseKey(text);
  if (!parsed.ok) throw new Error(parsed.problem);
  return parsed.value;
}

export function noteOf(name: string): number {
  const note = parseNote(name);
  if (note === undefined) throw new Error(`${name} is no note`);
  return note;
}

/** The first name is the bass. */
export function chordOf(
  tick: number,
  length: number,
  symbol: string,
  names: readonly string[],
  label = 'close position',
): ProgressionChord {
  const notes = names.map((name, place) => ({
    note: noteOf(name),
    name,
    degree: '1',
    part: place === 0 ? ('bass' as const) : ('upper' as const),
  }));
  return { tick, length, symbol, sounds: symbol, label, notes };
}

export function melodyOf(...notes: readonly (readonly [number, number, string])[]): MelodyNote[] {
  return notes.map(([tick, length, name]) => ({ tick, length, name, note: noteOf(name) }));
}

export const plain: Progression = {
  title: 'Harbour Lanterns',
  key: keyOf('Eb'),
  tempo: 92,
  pickup: 0,
  metres: [{ tick: 0, beats: 4, unit: 4 }],
  chords: [
    chordOf(0, 96, 'Eb6/9', ['Eb2', 'G3', 'C4', 'F4'], 'three-part fourths over the root'),
    chordOf(96, 48, 'Cm7(add11)', ['C2', 'F3', 'Bb3', 'Eb4'], 'three-part fourths over the root'),
    chordOf(144, 48, 'F13', ['F2', 'Eb3', 'A3', 'D4'], 'three-part fourths over the root'),
    chordOf(192, 96, 'C7(#9)', ['C3', 'E3', 'Bb3', 'D#4'], 'three-part fourths over the 3rd'),
  ],
  melody: [],
  grid: '',
};

/** A pick-up, three metres, triplets, ties over bar lines, silence, a polychord, a melody. */
export const odd: Progression = {
  title: 'Odd <Corners> & "Edges"',
  key: keyOf('F#m'),
  tempo: 88,
  pickup: 24,
  metres: [
    { tick: 0, beats: 3, unit: 4 },
    { tick: 168, beats: 6, unit: 8 },
    { tick: 312, beats: 5, unit: 4 },
  ],
  chords: [
    chordOf(0, 24, 'C#7', ['C#2', 'E#3', 'B3', 'G#4']),
    chordOf(24, 100, 'F#m', ['F#2', 'A3', 'C#4', 'E4']),
    chordOf(132, 36, 'Bm7', ['B2', 'A3', 'D4', 'F#4']),
    chordOf(168, 36, 'E7(#9)', ['E2', 'G#3', 'D4', 'F##4']),
    chordOf(204, 60, 'N.C.', []),
    chordOf(264, 48, 'D\\C', ['C3', 'E3', 'F#4', 'A4', 'D5']),
    chordOf(312, 60, 'F#m', ['F#2', 'A3', 'C#4'], 'open'),
    chordOf(372, 40, 'G/A', ['A2', 'B3', 'D4', 'G4'], 'hybrid'),
  ],
  melody: melodyOf(
    [24, 8, 'C#5'],
    [32, 8, 'D5'],
    [40, 8, 'E5'],
    [48, 16, 'F#5'],
    [64, 20, 'A5'],
    [96, 12, 'D5'],
    [108, 12, 'D#5'],
    [120, 24, 'D5'],
    [144, 24, 'B4'],
    [312, 36, 'G#5'],
    [348, 12, 'G5'],
  ),
  grid: 'triplets of sixteenths at 88 a minute',
};

/** Any progression on a grid of eighths or of triplets. */
export const anyProgression: fc.Arbitrary<Progression> = fc
  .record({
    grid: fc.constantFrom(12, 8),
    beats: fc.integer({ min: 2, max: 7 }),
    unit: fc.constantFrom(4, 8),
    pickup: fc.nat(2),
    steps: fc.array(
      fc.record({
        length: fc.integer({ min: 1, max: 9 }),
        gap: fc.nat(2),
        notes: fc.uniqueArray(fc.integer({ min: 36, max: 84 }), { minLength: 0, maxLength: 6 }),
        type: fc.constantFrom(...chordTypes),
      }),
      { minLength: 1, maxLength: 12 },
    ),
  })
  .map(({ grid, beats, unit, pickup, steps }) => {
    let tick = 0;
    const chords = steps.map(({ length, gap, notes, type }) => {
      const names = [...notes]
        .sort((one, other) => one - other)
        .map((note) => formatNote(note, spellInKey(note % 12, undefined)));
      const chord = chordOf(tick, length * grid, `Bb${type.symbol}`, names, `a < b & "c"`);
      tick += (length + gap) * grid;
      return chord;
    });
    return {
      ...plain,
      pickup: pickup * 24,
      metres: [{ tick: 0, beats, unit: grid === 8 ? 4 : unit }],
      chords,
    };
  });
