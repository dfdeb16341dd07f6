/**
 * Recognition with key and chord before, beside tonal's Chord.detect on the same chords in the same
 * run, rounds interleaved: the ratio is what counts. And the table's making, and the heap over a
 * million chords. Aim: 1000 times faster than detect, a flat heap.
 */
import { Chord as TonalChord } from 'tonal';
import { parseKey } from '../../src/harmony/key/key.ts';
import { setOfNotes } from '../../src/harmony/pitch/pitch-class-set.ts';
import type { Context } from '../../src/harmony/recognition/context.ts';
import { warmReadings } from '../../src/harmony/recognition/reading-table.ts';
import { recognise, recogniseSet } from '../../src/harmony/recognition/recognise.ts';
import { type Bench, milliseconds, type Row, spreadOf, time } from './measure.ts';

const shapes = [
  [0, 4, 7],
  [0, 3, 7],
  [0, 4, 7, 10],
  [0, 3, 7, 10],
  [0, 4, 7, 11],
  [0, 3, 6, 10],
  [0, 5, 7, 10],
  [0, 4, 7, 9, 14],
];
const names = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'];

type Case = {
  readonly notes: readonly number[];
  readonly set: number;
  readonly bass: number;
  readonly names: string[];
};

/** Every shape on every root, in two positions: 192 chords. */
const cases: readonly Case[] = shapes.flatMap((shape) =>
  names.flatMap((_, root) =>
    [0, 1].map((inversion): Case => {
      const notes = shape.map((above, index) => 48 + root + above + (index < inversion ? 12 : 0));
      const ascending = [...notes].sort((one, other) => one - other);
      return {
        notes,
        set: setOfNotes(notes),
        bass: (ascending[0] ?? 0) % 12,
        names: ascending.map((note) => names[note % 12] ?? 'C'),
      };
    }),
  ),
);

/** A context a chord: a key, and the chord heard before. */
function contexts(): readonly Context[] {
  const keys = ['C', 'Eb', 'F#m', 'A'].map((name) => {
    const parsed = parseKey(name);
    if (!parsed.ok) throw new Error(parsed.problem);
    return parsed.value;
  });
  return cases.map((_, index) => {
    const key = keys[index % keys.length];
    const before = recognise(cases.at(index - 1)?.notes ?? [], {});
    if (key === undefined || before === undefined) throw new Error('a case without a name');
    return { key, previous: before };
  });
}

const rounds = 15;
/** Times through all cases in a round. */
const passes = 1500;
const detectPasses = 2;
const heapPasses = Math.ceil(1_000_000 / cases.length);

/** Keeps what is measured from being optimised away. */
let sink = 0;

// The loops stand written out: a closure a chord would cost as much as the chord.

function recogniseSets(places: readonly Context[]): void {
  for (let pass = 0; pass < passes; pass += 1) {
    for (let index = 0; index < cases.length; index += 1) {
      const each = cases[index];
      const place = places[index];
      if (each === undefined || place === undefined) continue;
      sink += recogniseSet(each.set, each.bass, place)?.rootAboveBass ?? 0;
    }
  }
}

function recogniseNotes(places: readonly Context[], times = passes): void {
  for (let pass = 0; pass < times; pass += 1) {
    for (let index = 0; index < cases.length; index += 1) {
      const each = cases[index];
      const place = places[index];
      if (each === undefined || place === undefined) continue;
      sink += recognise(each.notes, place)?.root ?? 0;
    }
  }
}

function detect(): void {
  for (let pass = 0; pass < detectPasses; pass += 1) {
    for (const each of cases) sink += TonalChord.detect(each.names).length;
  }
}

/** Nanoseconds a chord. */
function perChord(passesDone: number, action: () => void): number {
  return (time(action) * 1e6) / (passesDone * cases.length);
}

function heapMegabytes(): number {
  globalThis.gc?.();
  return process.memoryUsage().heapUsed / 1e6;
}

export const recognitionBench: Bench = {
  title: `Recognition with key and chord before, ${cases.length} chords (aim: 1000 x detect)`,
  run: async () => {
    const making = time(warmReadings);
    const places = contexts();
    const nanoseconds: Record<'sets' | 'notes' | 'theirs', number[]> = {
      sets: [],
      notes: [],
      theirs: [],
    };
    recogniseSets(places);
    recogniseNotes(places);
    for (let round = 0; round < rounds; round += 1) {
      nanoseconds.sets.push(perChord(passes, () => recogniseSets(places)));
      nanoseconds.notes.push(perChord(passes, () => recogniseNotes(places)));
      nanoseconds.theirs.push(perChord(detectPasses, detect));
    }
    const detectMedian = spreadOf(nanoseconds.theirs).median;
    const line = (values: readonly number[]): string => {
      const { median } = spreadOf(values);
      return `median ${median.toFixed(1)} ns a chord, ${Math.round(detectMedian / median)} x faster`;
    };
    const before = heapMegabytes();
    recogniseNotes(places, heapPasses);
    const after = heapMegabytes();
    if (sink === 0) throw new Error('nothing was recognised');
    return [
      ['set and bass', line(nanoseconds.sets)],
      ['notes', line(nanoseconds.notes)],
      ["tonal's detect", `median ${(detectMedian / 1000).toFixed(1)} us a chord`],
      ['2048 sets made', milliseconds(making)],
      ['heap, a million chords', `${before.toFixed(1)} MB before, ${after.toFixed(1)} MB after`],
    ] satisfies readonly Row[];
  },
};
