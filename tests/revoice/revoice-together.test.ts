/** Chords that a file has on several tracks or channels, read together. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readMidiFile } from '../../src/midi/read-midi-file.ts';
import { type RevoiceOptions, revoiceMidiFile } from '../../src/revoice/revoice.ts';
import { takeToMidiFile } from '../../src/take/midi-file.ts';
import { casesOf } from '../helpers/round.ts';
import { type Event, eventsByMidiFile, file, text, track } from '../midi/smf.ts';
import { setupWith } from './voices.ts';

const fourths = setupWith('fourths-over-root');

function run(bytes: Uint8Array, options: Partial<RevoiceOptions> = {}) {
  const read = readMidiFile(bytes);
  if (!read.ok) throw new Error(read.problem);
  const steps = revoiceMidiFile(read.value, { setup: fourths, ...options });
  let step = steps.next();
  while (step.done !== true) step = steps.next();
  if (!step.value.ok) throw new Error(step.value.problem);
  return step.value.value;
}

type Row = { type: string; tick: number; channel?: number; noteNumber?: number; velocity?: number };

/** A track as an independent parser reads it. */
function rows(bytes: Uint8Array, place: number): readonly Row[] {
  return (eventsByMidiFile(bytes)[place] ?? []) as readonly Row[];
}

function begins(bytes: Uint8Array, place: number): readonly (readonly number[])[] {
  return rows(bytes, place)
    .filter(({ type, velocity = 0 }) => type === 'noteOn' && velocity > 0)
    .map(({ tick, noteNumber = -1 }) => [tick, noteNumber]);
}

function expectBalanced(bytes: Uint8Array): void {
  for (const place of eventsByMidiFile(bytes).keys()) {
    const open = new Map<string, number>();
    for (const { type, channel, noteNumber } of rows(bytes, place)) {
      const step = type === 'noteOn' ? 1 : type === 'noteOff' ? -1 : 0;
      const key = `${channel}/${noteNumber}`;
      if (step !== 0) open.set(key, (open.get(key) ?? 0) + step);
    }
    expect([...open.values()].filter((count) => count !== 0)).toEqual([]);
  }
}

const chord = (tick: number, length: number, notes: readonly number[], channel = 0): Event[] => [
  ...notes.map((note) => [tick, 0x90 + channel, note, 80] as const),
  ...notes.map((note) => [tick + length, 0x80 + channel, note, 64] as const),
];
const byTick = (events: readonly Event[]) => [...events].sort(([one], [other]) => one - other);
const named = (name: string, ...events: Event[]) => track([0, ...text(3, name)], ...byTick(events));

/** A bass alone, and Dm7, G7, Cmaj7 above it without their roots. */
const bassNotes = [38, 43, 36];
const uppers = [
  [60, 65, 69],
  [59, 62, 65],
  [59, 64, 67],
];
const bar = 1920;
const bassEvents = bassNotes.flatMap((note, i) => chord(i * bar, bar, [note]));
const upperEvents = uppers.flatMap((notes, i) => chord(i * bar, bar, notes));
const melodyEvents = Array.from({ length: 24 }, (_, i) =>
  chord(i * 240, 200, [74 + (i % 5)]),
).flat();
const drumEvents = Array.from({ length: 12 }, (_, i) => chord(i * 480, 100, [36], 9)).flat();

const band = file(
  1,
  480,
  track([0, 0xff, 0x51, 3, 7, 161, 32]),
  named('Tune', ...melodyEvents),
  named('Chords', ...upperEvents),
  named('Low', ...bassEvents),
  named('Drums', ...drumEvents),
);

/** The bass on channel `first`, the voices above it on the next. */
function apartFrom(first: number): RevoiceOptions['setup'] {
  const { preset } = fourths;
  const playing = { ...preset.playing, channels: { layout: 'bass-apart', first } as const };
  return { ...fourths, preset: { ...preset, playing } };
}

describe('a bass on a track of its own', () => {
  const { bytes, harmony, voiced } = run(band);

  test('is read with the chords, and the new bass takes its place', () => {
    expect(voiced).toBe(3);
    // The bass is the root of each chord, D, G, C, and there is one at a time.
    const bass = begins(bytes, 3);
    expect(bass.map(([tick]) => tick)).toEqual([0, bar, 2 * bar]);
    expect(bass.map(([, note = 0]) => note % 12)).toEqual([2, 7, 0]);
    const above = begins(bytes, 2);
    expect(above).toHaveLength(9);
    for (const [tick, note = 0] of above) {
      const [, low = 0] = bass.find(([at]) => at === tick) ?? [];
      expect(note).toBeGreaterThan(low);
    }
    expectBalanced(bytes);
  });

  test('makes the symbols the seventh chords they are', () => {
    const heard: string[] = [];
    run(band, { onReport: ({ report }) => heard.push(report.heard.symbol) });
    expect(heard).toEqual(['Dm7', 'G7', 'Cmaj7']);
  });

  test('melody and drums are event for event what they were', () => {
    const before = eventsByMidiFile(band);
    const after = eventsByMidiFile(bytes);
    for (const place of [0, 1, 4]) expect(after[place]).toEqual(before[place]);
    expect(harmony.left.map(({ part, why }) => [part.name, why])).toEqual([['Tune', 'above']]);
  });

  test('stays when the preset has no bass, and is only listened to', () => {
    const heard: string[] = [];
    const without = run(band, {
      setup: setupWith('fourths-without-bass'),
      onReport: ({ report }) => heard.push(report.heard.symbol),
    });
    expect(eventsByMidiFile(without.bytes)[3]).toEqual(eventsByMidiFile(band)[3]);
    expect(heard).toEqual(['Dm7', 'G7', 'Cmaj7']);
    expect(begins(without.bytes, 2)).not.toEqual(begins(band, 2));
  });

  test('with leading over the whole too', () => {
    const best = run(band, { leading: 'best' });
    expect(begins(best.bytes, 3).map(([, note = 0]) => note % 12)).toEqual([2, 7, 0]);
    expectBalanced(best.bytes);
  });

  test('on channels that the preset keeps for it, where it has such', () => {
    const apart = run(band, { setup: apartFrom(4) });
    const channels = (place: number) =>
      new Set(
        rows(apart.bytes, place).flatMap(({ type, channel }) =>
          type === 'noteOn' ? [channel] : [],
        ),
      );
    expect([[...channels(3)], [...channels(2)]]).toEqual([[4], [5]]);
    expectBalanced(apart.bytes);
  });

  test('the same in one track of a format 0 file, told apart by channels', () => {
    const move = (events: readonly Event[], channel: number): Event[] =>
      events.map(([tick, status = 0, ...data]): Event => [tick, status + channel, ...data]);
    const together = file(
      0,
      480,
      track(...byTick([...move(upperEvents, 1), ...move(bassEvents, 2), ...move(melodyEvents, 3)])),
    );
    const one = run(together);
    const on = rows(one.bytes, 0).filter(({ type }) => type === 'noteOn');
    const notes = (channel: number) =>
      on.filter((row) => row.channel === channel).map(({ noteNumber }) => noteNumber);
    expect(notes(2)).toEqual(begins(bytes, 3).map(([, note]) => note));
    expect(notes(1)).toEqual(begins(bytes, 2).map(([, note]) => note));
    expect(notes(3)).toEqual(begins(band, 1).map(([, note]) => note));
  });
});

describe('the two staves of a piano', () => {
  const pedal: Event[] = [0, bar, 2 * bar].flatMap((tick): Event[] => [
    [tick + 10, 0xb0, 64, 127],
    [tick + bar - 10, 0xb0, 64, 0],
  ]);
  const left = [
    [38, 50],
    [43, 53],
    [36, 55],
  ].flatMap((notes, i) => chord(i * bar, bar, notes));
  const piano = file(
    1,
    480,
    named('Right hand', ...upperEvents),
    named('Left hand', ...left, ...pedal),
  );
  const { bytes, harmony } = run(piano);

  test('are one player: bass below, the rest above, the pedal as it was', () => {
    expect(harmony.parts.map(({ name }) => name)).toEqual(['Right hand', 'Left hand']);
    expect(begins(bytes, 1).map(([, note = 0]) => note % 12)).toEqual([2, 7, 0]);
    expect(begins(bytes, 0)).toHaveLength(9);
    const pedals = (of: Uint8Array, place: number) =>
      rows(of, place).filter(({ type }) => type === 'controller');
    expect(pedals(bytes, 1)).toEqual(pedals(piano, 1));
    expect(pedals(bytes, 0)).toEqual([]);
    expectBalanced(bytes);
  });

  test('a left hand in broken chords goes on as it was', () => {
    const broken = Array.from({ length: 24 }, (_, i) =>
      chord(i * 240, 200, [[38, 45, 50, 53][i % 4] ?? 38]),
    ).flat();
    const other = file(1, 480, named('Right', ...upperEvents), named('Left', ...broken));
    const result = run(other);
    expect(eventsByMidiFile(result.bytes)[1]).toEqual(eventsByMidiFile(other)[1]);
    expect(result.harmony.left.map(({ why }) => why)).toEqual(['apart']);
  });
});

test('four single lines make chords together; the top one is left to sing', () => {
  const lines = [
    [74, 71, 72],
    [69, 67, 67],
    [65, 62, 64],
    [38, 43, 48],
  ].map((notes, place) =>
    named(`Line ${place}`, ...notes.flatMap((note, i) => chord(i * bar, bar, [note], place))),
  );
  const { harmony } = run(file(1, 480, ...lines));
  expect(harmony.parts.map(({ name }) => name)).toEqual(['Line 1', 'Line 2', 'Line 3']);
  expect(harmony.bass.name).toBe('Line 3');
});

test('several tracks that are named are read, whatever they look like', () => {
  const { harmony } = run(band, { wish: { tracks: [2, 3] } });
  expect(harmony.parts.map(({ track: number }) => number)).toEqual([2, 3]);
});

describe('a take', () => {
  const played = uppers.flatMap((notes, i) => [
    ...notes.map((note) => [i * 1e6, 0x90, note, 80] as const),
    ...notes.map((note) => [i * 1e6 + 9e5, 0x80, note, 64] as const),
  ]);
  const event = (direction: 'played' | 'sounded', [at, ...bytes]: readonly number[]) =>
    ({ atMicroseconds: at ?? 0, direction, bytes }) as const;
  const events = played.flatMap((each) => {
    const [at, status, note = 0, velocity = 0] = each;
    const sounded = [at, status, note - 12, velocity];
    return [event('played', each), event('sounded', sounded)];
  });
  const take = takeToMidiFile({ events, chords: [] });

  test('keeps what was played; what sounded for it is replaced', () => {
    const { bytes, written } = run(take);
    expect(written).toEqual([3]);
    const before = eventsByMidiFile(take);
    const after = eventsByMidiFile(bytes);
    for (const place of [0, 1]) expect(after[place]).toEqual(before[place]);
    expect(begins(bytes, 2)).toHaveLength(12);
    expect(begins(bytes, 2)).not.toEqual(begins(take, 2));
    expectBalanced(bytes);
  });
});

test('whatever plays, other parts stay event for event and every note ends', () => {
  const anyNotes = fc.array(
    fc.record({
      delta: fc.nat(900),
      length: fc.integer({ min: 1, max: 1500 }),
      notes: fc.uniqueArray(fc.integer({ min: 30, max: 90 }), { minLength: 1, maxLength: 5 }),
    }),
    { minLength: 1, maxLength: 20 },
  );
  const eventsOf = (steps: readonly { delta: number; length: number; notes: number[] }[]) => {
    let tick = 0;
    const events = steps.flatMap(({ delta, length, notes }) => {
      tick += delta;
      return chord(tick, length, notes);
    });
    return byTick(events);
  };
  fc.assert(
    fc.property(anyNotes, anyNotes, anyNotes, (first, second, third) => {
      const tracks = [first, second, third].map((steps) => track(...eventsOf(steps)));
      const last = track(...chord(0, 400, [62, 65, 69]), ...chord(960, 400, [62, 67, 71]));
      const bytes = file(1, 480, ...tracks, last);
      const before = eventsByMidiFile(bytes);
      for (const wish of [{}, { tracks: [1, 2, 4] }]) {
        const result = run(bytes, { wish });
        const after = eventsByMidiFile(result.bytes);
        before.forEach((events, place) => {
          if (!result.written.includes(place + 1)) expect(after[place]).toEqual(events);
        });
        const count = (of: Uint8Array, type: string) =>
          [0, 1, 2, 3].flatMap((place) => rows(of, place).filter((row) => row.type === type))
            .length;
        expect(count(result.bytes, 'noteOff')).toBe(count(result.bytes, 'noteOn'));
      }
    }),
    { numRuns: casesOf(60), seed: 6 },
  );
});
