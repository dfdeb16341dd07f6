/** Invented progressions for tests of scores and hand-outs. */
import { parseKey } from '../../src/harmony/key.ts';
import { parseNote } from '../../src/harmony/pitch-name.ts';
import type { MelodyNote, Progression, ProgressionChord } from '../../src/take/progression.ts';

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
