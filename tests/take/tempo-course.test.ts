/** A take's tempo by the MIDI clock that was followed, and its keys. */
import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { ticksPerQuarter } from '../../src/score/progression.ts';
import { progressionOfTake } from '../../src/score/take-progression.ts';
import { takeToMidiFile } from '../../src/take/midi-file.ts';
import { type ClockMark, isNewMark, type TakeEvent } from '../../src/take/take.ts';
import { clockCourse } from '../../src/take/tempo-course.ts';
import { reportOf } from './reports.ts';

/** A mark each quarter note from `position` on, at `tempo`; the song began at 0. */
function marks(from: number, count: number, tempo: number, position = 0): ClockMark[] {
  return Array.from({ length: count }, (_, place) => ({
    atMicroseconds: Math.round(from + (place * 60e6) / tempo),
    tempo,
    position: position + place,
  }));
}

/** 90 a minute for two bars, then 120. */
const slow = marks(1e6, 9, 90);
const turn = slow.at(-1)?.atMicroseconds ?? 0;
const changing = [...slow, ...marks(turn, 9, 120, 8).slice(1)];

const note = (atMicroseconds: number): TakeEvent => ({
  atMicroseconds,
  direction: 'sounded',
  bytes: [0x90, 60, 80],
});

type Event = { deltaTime: number; type: string };
function placed<T extends string>(bytes: Uint8Array, type: T) {
  let tick = 0;
  return (parseMidi(bytes).tracks[0] ?? []).flatMap((event: Event) => {
    tick += event.deltaTime;
    return event.type === type ? [{ ...event, tick }] : [];
  }) as unknown as ({ tick: number } & Record<string, unknown>)[];
}

describe('with a clock', () => {
  test('each tempo is one, whatever the marks jitter by a millisecond', () => {
    const uneven = changing.map((mark, place) => ({
      ...mark,
      atMicroseconds: mark.atMicroseconds + (place % 3) * 1000,
    }));
    for (const each of [changing, uneven]) {
      const tempos = clockCourse(each, 1e6, 4)?.points.map(
        ({ microsecondsPerQuarter }) => 60e6 / microsecondsPerQuarter,
      );
      expect(tempos).toHaveLength(2);
      expect(tempos?.[0]).toBeCloseTo(90, 0);
      expect(tempos?.[1]).toBeCloseTo(120, 0);
    }
  });

  test('the file has the tempo map, and notes stand on the beats they were played on', () => {
    const events = changing.map(({ atMicroseconds }) => note(atMicroseconds));
    const bytes = takeToMidiFile({ events, chords: [], clock: changing });
    expect(
      placed(bytes, 'setTempo').map(({ tick: at, microsecondsPerBeat }) => [
        at,
        microsecondsPerBeat,
      ]),
    ).toEqual([
      [0, 666667],
      [8 * 480, 500000],
    ]);
    let tick = 0;
    const begins = (parseMidi(bytes).tracks[2] ?? []).flatMap((event) => {
      tick += event.deltaTime;
      return event.type === 'noteOn' ? [tick] : [];
    });
    expect(begins).toEqual(changing.map((_, place) => place * 480));
  });

  test('bar lines are those of the song: a take that begins in the middle of a bar', () => {
    const [, , , fourth] = slow;
    const bytes = takeToMidiFile({
      events: [note(fourth?.atMicroseconds ?? 0)],
      chords: [],
      clock: slow,
    });
    const [, , sounded] = parseMidi(bytes).tracks;
    expect(sounded?.find(({ type }) => type === 'noteOn')?.deltaTime).toBe(3 * 480);
  });

  test('a note a little before the bar line was meant for it', () => {
    const course = clockCourse(slow, (slow[4]?.atMicroseconds ?? 0) - 50_000, 4);
    expect(course?.quartersAt(slow[4]?.atMicroseconds ?? 0)).toBeCloseTo(0);
  });

  test('a song that is stopped, or begins again, goes on at its tempo', () => {
    const again = [...slow, ...marks(turn + 4e6, 5, 90)];
    const course = clockCourse(again, 1e6, 4);
    // Six quarter notes at 90 are four seconds.
    expect(course?.quartersAt(turn + 4e6)).toBeCloseTo(8 + 6);
    expect(course?.quartersAt(again.at(-1)?.atMicroseconds ?? 0)).toBeCloseTo(8 + 6 + 4);
  });

  test('clocks that were held up and come in one go are counted all the same', () => {
    const held = slow.map((mark, place) => {
      const { atMicroseconds } = slow[5] ?? mark;
      return place === 4 ? { ...mark, atMicroseconds: atMicroseconds - 20_000 } : mark;
    });
    expect(clockCourse(held, 1e6, 4)?.quartersAt(turn)).toBeCloseTo(8);
  });

  test('clocks without a song give the tempo alone; the first note is the first beat', () => {
    const standing = [{ atMicroseconds: 5e5, tempo: 100 }];
    const bytes = takeToMidiFile({ events: [note(9e6)], chords: [], clock: standing });
    expect(placed(bytes, 'setTempo')).toMatchObject([{ tick: 0, microsecondsPerBeat: 600000 }]);
    expect(parseMidi(bytes).tracks[2]?.find(({ type }) => type === 'noteOn')?.deltaTime).toBe(0);
  });

  test('marks that say nothing new are not kept', () => {
    const [first, second] = slow;
    if (first === undefined || second === undefined) throw new Error('no marks');
    expect(isNewMark(first, undefined)).toBe(true);
    expect(isNewMark({ ...first, position: 0.9 }, first)).toBe(false);
    expect(isNewMark(second, first)).toBe(true);
    expect(isNewMark({ atMicroseconds: 9, tempo: 100.1 }, { atMicroseconds: 1, tempo: 100 })).toBe(
      false,
    );
    expect(isNewMark({ atMicroseconds: 9, tempo: 102 }, { atMicroseconds: 1, tempo: 100 })).toBe(
      true,
    );
  });

  test('a score is written in it', () => {
    const at = (place: number) => changing[place]?.atMicroseconds ?? 0;
    const names = ['D2', 'G3', 'C4', 'F4'];
    const notes = [38, 55, 60, 65];
    const places = [0, 4, 8, 12];
    const events = places.flatMap((place): TakeEvent[] => [
      ...notes.map((each): TakeEvent => ({ ...note(at(place)), bytes: [0x90, each, 80] })),
      ...notes.map(
        (each): TakeEvent => ({ ...note(at(place + 4) - 9000), bytes: [0x80, each, 64] }),
      ),
    ]);
    const chords = places.map((place) => ({
      ...reportOf(at(place), 'Dm7', names),
      key: 'C major',
    }));
    const head = { started: '', preset: '', key: 'follow' };
    const journal = { head, events, chords, clock: changing, isComplete: true, unreadable: 0 };
    const written = progressionOfTake(journal, { title: 'Clocked' });
    const bar = 4 * ticksPerQuarter;
    expect(written.chords.map(({ tick, length }) => [tick, length])).toEqual(
      places.map((_, place) => [place * bar, bar]),
    );
    expect(written.grid).toContain('at 90 a minute, by the MIDI clock');
    expect(written.key?.fifths).toBe(0);
  });
});

test('keys stand where they changed, as key signatures', () => {
  const chords = [
    { ...reportOf(0, 'Eb', ['Eb3']), key: 'Eb major' },
    { ...reportOf(1e6, 'Cm', ['C3']), key: 'Eb major' },
    { ...reportOf(2e6, 'F#m', ['F#3']), key: 'F# minor' },
  ];
  const bytes = takeToMidiFile({ events: [note(0)], chords });
  // Standard MIDI Files 1.0, "Key Signature": sf -7 to 7 flats to sharps, mi 0 major, 1 minor.
  expect(placed(bytes, 'keySignature').map(({ tick, key, scale }) => [tick, key, scale])).toEqual([
    [0, -3, 0],
    [1920, 3, 1],
  ]);
});
