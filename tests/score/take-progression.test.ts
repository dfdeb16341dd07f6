import * as fc from 'fast-check';
import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import type { ChordReport } from '../../src/live/snapshot.ts';
import { chooseGrid, estimateTempo, grids } from '../../src/score/grid.ts';
import { rowsOf } from '../../src/score/hand-out/rows.ts';
import { toMusicXml } from '../../src/score/musicxml.ts';
import { progressionOfTake, toldOf } from '../../src/score/take-progression.ts';
import type { Journal } from '../../src/take/journal.ts';
import { takeToMidiFile } from '../../src/take/midi-file.ts';
import type { TakeEvent } from '../../src/take/take.ts';
import { reportOf } from '../take/reports.ts';
import { noteOf } from './progressions.ts';

const head = { started: '2031-05-04T19:30:00.000Z', preset: 'fourths-over-root', key: 'Eb major' };

type Played = readonly [start: number, end: number, symbol: string, ...names: string[]];

/** Chords from `start` to `end` in milliseconds, with melody notes of the same form, no symbol. */
function journalOf(...played: readonly Played[]): Journal {
  const events: TakeEvent[] = [];
  const chords: ChordReport[] = [];
  const on = (at: number, status: number, name: string) =>
    events.push({
      atMicroseconds: at * 1000,
      direction: 'sounded',
      bytes: [status, noteOf(name), 64],
    });
  for (const [start, end, symbol, ...names] of played) {
    for (const name of names) on(start, 0x90, name);
    for (const name of names) on(end, 0x80, name);
    if (symbol !== '') chords.push(reportOf(start * 1000, symbol, names));
  }
  events.sort((one, other) => one.atMicroseconds - other.atMicroseconds);
  return { head, events, chords, clock: [], isComplete: true, unreadable: 0 };
}

/** Two a bar at 120, a little early and late, lifted a little before the next. */
const uneven = journalOf(
  [5000, 5930, 'Eb6', 'Eb2', 'G3', 'C4'],
  [6012, 6950, 'Cm7', 'C2', 'Bb3', 'Eb4'],
  [6991, 7900, 'F13', 'F2', 'A3', 'D4'],
  [8004, 9960, 'Bb7', 'Bb1', 'Ab3', 'D4'],
  [8510, 8730, '', 'F5'],
  [8755, 8990, '', 'G5'],
);

describe('a take on a grid', () => {
  test('chords stand on their beats and last until the next', () => {
    const { chords, melody, tempo, grid } = progressionOfTake(uneven, { title: '', tempo: 120 });
    expect(chords.map(({ tick, length, symbol }) => [tick, length, symbol])).toEqual([
      [0, 48, 'Eb6'],
      [48, 48, 'Cm7'],
      [96, 48, 'F13'],
      [144, 96, 'Bb7'],
    ]);
    expect(melody.map(({ tick, length, name }) => [tick, length, name])).toEqual([
      [168, 12, 'F5'],
      [180, 12, 'G5'],
    ]);
    expect([tempo, grid]).toEqual([120, 'eighth notes at 120 a minute']);
  });

  test('the grid may be asked for, and is said', () => {
    const [, triplets] = grids;
    const { grid } = progressionOfTake(uneven, { title: '', tempo: 120, grid: triplets });
    expect(grid).toBe('triplets of eighths at 120 a minute');
  });

  test('a tempo that was estimated is said to be', () => {
    const { grid, tempo } = progressionOfTake(uneven, { title: '' });
    expect(grid).toMatch(/^.* at [\d.]+ a minute, estimated$/);
    // Half and double tempo say the same beginnings.
    expect([60, 120].some((meant) => Math.abs(tempo - meant) < 1.5)).toBe(true);
  });

  test('a chord that nobody let go before the end is there, and lasts', () => {
    const whole = journalOf(
      [0, 1990, 'Eb6', 'Eb2', 'G3', 'C4'],
      [2000, 9000, 'Cm7', 'C2', 'Bb3', 'Eb4'],
    );
    // Cut off while it was held, as by a power cut: right after it began, or later.
    for (const later of [
      [],
      [{ atMicroseconds: 3_900_000, direction: 'played', bytes: [0xb0, 1, 9] } as const],
    ]) {
      const events = [
        ...whole.events.filter(({ atMicroseconds }) => atMicroseconds <= 2_000_000),
        ...later,
      ];
      const cut: Journal = { ...whole, events, isComplete: false };
      const { chords } = progressionOfTake(cut, { title: '', tempo: 120 });
      expect(chords.map(({ tick, length, symbol }) => [tick, length, symbol])).toEqual([
        [0, 96, 'Eb6'],
        [96, later.length > 0 ? 96 : 48, 'Cm7'],
      ]);
      expect(rowsOf(progressionOfTake(cut, { title: '' })).map(({ symbol }) => symbol)).toEqual([
        'Eb6',
        'Cm7',
      ]);
    }
  });

  test('a chord that was voiced anew while it was held is one chord, with both voicings', () => {
    const plain = journalOf(
      [0, 1000, 'Eb6', 'Eb2', 'G3', 'C4'],
      [1000, 1980, 'Eb6', 'Eb2', 'C4', 'G4'],
      [2000, 3980, 'Cm7', 'C2', 'Bb3', 'Eb4'],
    );
    const chords = plain.chords.map((chord, place) =>
      place === 1 ? { ...chord, isRevoiced: true } : chord,
    );
    const moved: Journal = { ...plain, chords };
    const written = progressionOfTake(moved, { title: '', tempo: 120 });
    expect(written.chords.map(({ tick, isRevoiced }) => [tick, isRevoiced])).toEqual([
      [0, undefined],
      [48, true],
      [96, undefined],
    ]);
    expect(rowsOf(written).map(({ symbol }) => symbol)).toEqual(['Eb6', '', 'Cm7']);
    const file = parseMidi(takeToMidiFile(moved));
    const markers = file.tracks.flat().filter(({ type }) => type === 'marker');
    expect(markers).toHaveLength(2);
    // Where it happened is no beat: neither the grid nor the tempo is taken from it.
    const late = journalOf(
      [0, 730, 'Eb6', 'Eb2', 'G3', 'C4'],
      [730, 1980, 'Eb6', 'Eb2', 'C4', 'G4'],
      [2000, 3980, 'Cm7', 'C2', 'Bb3', 'Eb4'],
    );
    const marked = late.chords.map((chord, place) => ({ ...chord, isRevoiced: place === 1 }));
    const { grid } = progressionOfTake({ ...late, chords: marked }, { title: '', tempo: 120 });
    expect(grid).toContain('eighth notes');
  });

  test('a chord is corrected by a late finger: one chord, and no melody', () => {
    const early = reportOf(1_100_000, 'Cm7', ['C2', 'Eb4', 'Bb4']);
    const event = (at: number, status: number, name: string): TakeEvent => ({
      atMicroseconds: at,
      direction: 'sounded',
      bytes: [status, noteOf(name), 64],
    });
    const events = [
      event(1_000_000, 0x90, 'C2'),
      event(1_000_000, 0x90, 'Eb4'),
      event(1_000_000, 0x90, 'G4'),
      event(1_100_000, 0x80, 'G4'),
      event(1_100_000, 0x90, 'Bb4'),
      event(2_000_000, 0x80, 'C2'),
      event(2_000_000, 0x80, 'Eb4'),
      event(2_000_000, 0x80, 'Bb4'),
    ];
    const told = toldOf({ events, chords: [early] });
    expect(told.chords.map(({ start, end }) => [start, end])).toEqual([[1_000_000, 2_000_000]]);
    expect(told.beside).toEqual([]);
    expect(told.replaced.map(({ note }) => note)).toEqual([noteOf('G4')]);
    expect([...told.voiceOf.values()].sort()).toEqual([0, 1, 2]);
  });

  test('an empty take is an empty progression', () => {
    const { chords, melody } = progressionOfTake(journalOf(), { title: '' });
    expect([chords, melody]).toEqual([[], []]);
  });
});

describe('the grid', () => {
  test.each([
    ['eighths', [0, 0.5, 1, 2.5]],
    ['triplets', [0, 0.333, 0.667, 1, 1.333]],
    ['sixteenths', [0, 0.25, 0.75, 1, 1.25]],
  ])('%s', (name, onsets) => {
    expect(chooseGrid(onsets).name).toBe(name);
  });

  // Chords on whole and half bars and one on a last beat: at 72 they fit 108 nearly as well.
  test('the beat of a slow tune, its half or its double, is never taken for another', () => {
    const lengths = [4, 4, 4, 4, 4, 4, 2, 2, 2, 2, 4, 4, 3, 1, 4, 2, 2, 2, 2, 2, 2];
    let end = 0;
    const beats = lengths.map((length) => {
      end += length;
      return end - length;
    });
    for (let tempo = 52; tempo <= 168; tempo += 4) {
      const found = estimateTempo(
        beats.map((beat) => (beat * 60) / tempo),
        4,
      );
      expect([tempo / 2, tempo, tempo * 2]).toContain(found);
    }
    const waltz = beats.map((_, bar) => (bar * 3 * 60) / 96);
    expect(estimateTempo(waltz, 3)).toBe(96);
  });

  test('a steady tempo is found, or its half or double, however the hand wavers', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 60, max: 170 }),
        fc.array(fc.tuple(fc.constantFrom(1, 2, 4), fc.integer({ min: -15, max: 15 })), {
          minLength: 12,
          maxLength: 30,
        }),
        (tempo, steps) => {
          let beats = 0;
          const onsets = steps.map(([length, waver]) => {
            const at = (beats * 60) / tempo + waver / 1000;
            beats += length;
            return at;
          });
          const found = estimateTempo(onsets, 4) ?? 0;
          const ratios = [0.25, 0.5, 1, 2, 4].map((ratio) => Math.abs(found / (tempo * ratio) - 1));
          expect(Math.min(...ratios)).toBeLessThan(0.03);
        },
      ),
      { numRuns: 100, seed: 6 },
    );
  });
});

test('a symbol is printed where it changes, however often the chord is struck', () => {
  const struck = ['Cm7', 'Cm7', 'Cm7', 'F13', 'F13', 'Cm7'].map(
    (symbol, place): Played => [place * 500, place * 500 + 400, symbol, 'C2', 'Bb3', 'Eb4'],
  );
  const written = progressionOfTake(journalOf(...struck), { title: '', tempo: 120 });
  for (const isForEngraver of [false, true]) {
    const xml = toMusicXml(written, { isForEngraver });
    expect(xml.match(/<harmony/g)).toHaveLength(3);
  }
});
