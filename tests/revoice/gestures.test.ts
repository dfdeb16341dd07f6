/** Strums, rolls, melodies over chords, broken chords: what of a file is struck as one, and where. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readMidiFile } from '../../src/midi/read-midi-file.ts';
import { type RevoiceOptions, revoiceMidiFile } from '../../src/revoice/revoice.ts';
import { casesOf } from '../helpers/round.ts';
import { type Event, eventsByMidiFile, file, track } from '../midi/smf.ts';
import { setupWith } from './voices.ts';

/** A tick is a millisecond: 120 quarter notes a minute. */
const division = 500;

function revoice(bytes: Uint8Array, options: Partial<RevoiceOptions> = {}) {
  const read = readMidiFile(bytes);
  if (!read.ok) throw new Error(read.problem);
  const setup = setupWith('fourths-over-root');
  const steps = revoiceMidiFile(read.value, { setup, ...options });
  let step = steps.next();
  while (step.done !== true) step = steps.next();
  return step.value;
}

function voiced(events: readonly Event[], options: Partial<RevoiceOptions> = {}) {
  const sorted = [...events].sort(([one], [other]) => one - other);
  const before = file(0, division, track(...sorted));
  const result = revoice(before, options);
  if (!result.ok) throw new Error(result.problem);
  return { before, ...result.value };
}

type Note = { readonly on: number; readonly off: number; readonly note: number };

/** As an independent parser reads them, in the order of the file; each is ended by the next note-off. */
function notesOf(bytes: Uint8Array, place = 0): readonly Note[] {
  const events = (eventsByMidiFile(bytes)[place] ?? []) as readonly Readonly<
    Record<string, number | string>
  >[];
  const notes: { on: number; off: number; note: number; channel: unknown }[] = [];
  for (const { type, tick, noteNumber, channel } of events) {
    const isSame = (each: (typeof notes)[number]) =>
      each.note === noteNumber && each.channel === channel && each.off < 0;
    if (type === 'noteOn') {
      expect(notes.some(isSame), `note ${noteNumber} is struck at ${tick} while it sounds`).toBe(
        false,
      );
      notes.push({ on: Number(tick), off: -1, note: Number(noteNumber), channel });
    } else if (type === 'noteOff') {
      const begun = notes.find(isSame);
      if (begun !== undefined) begun.off = Number(tick);
    }
  }
  return notes;
}

const onsets = (bytes: Uint8Array) => [...new Set(notesOf(bytes).map(({ on }) => on))];

/** E A D G B E: E minor, A minor, G as a guitar has them; low to high. */
const shapes = [
  [40, 47, 52, 55, 59, 64],
  [45, 52, 57, 60, 64],
  [43, 47, 50, 55, 59, 67],
];

function strums(step: number, isUp: (chord: number) => boolean): Event[] {
  return shapes.concat(shapes).flatMap((shape, chord) => {
    const order = isUp(chord) ? [...shape].reverse() : shape;
    return order.flatMap((note, string): Event[] => [
      [chord * 1000 + string * step, 0x90, note, 80],
      // A string rings until its chord is left.
      [chord * 1000 + 900, 0x80, note, 64],
    ]);
  });
}

describe('strums', () => {
  test.each([1, 5, 12, 15, 18, 25])(
    'of %i ms from string to string are a chord each, at its first string',
    (step) => {
      for (const isUp of [() => false, () => true, (chord: number) => chord % 2 === 1]) {
        const result = voiced(strums(step, isUp));
        expect(result.voiced).toBe(6);
        expect(onsets(result.bytes)).toEqual([0, 1000, 2000, 3000, 4000, 5000]);
      }
    },
  );

  test('that ring into the next one end string by string, and nothing is left open', () => {
    const ringing = shapes.flatMap((shape, chord) =>
      shape.flatMap((note, string): Event[] => [
        [chord * 500 + string * 18, 0x90, note, 80],
        [chord * 500 + 500 + string * 18, 0x80, note, 64],
      ]),
    );
    const { bytes } = voiced(ringing);
    expect(onsets(bytes)).toEqual([0, 500, 1000]);
    expect(notesOf(bytes).every(({ off }) => off > 0)).toBe(true);
  });
});

describe('rolled chords', () => {
  const rolled = (step: number, notes: readonly number[]): Event[] =>
    notes.flatMap((note, place): Event[] => [
      [1000 + place * step, 0x90, note, 80],
      [2500, 0x80, note, 64],
    ]);
  const chord = [48, 55, 60, 64];

  test.each([30, 50, 80])(
    'of %i ms from note to note, up and down, begin with their first note',
    (step) => {
      for (const notes of [chord, [...chord].reverse()]) {
        const { bytes, voiced: count } = voiced(rolled(step, notes));
        expect([count, onsets(bytes)]).toEqual([1, [1000]]);
      }
    },
  );

  test('alike: over the same time, in the same direction', () => {
    for (const [notes, sign] of [
      [chord, 1],
      [[...chord].reverse(), -1],
    ] as const) {
      const heard = notesOf(voiced(rolled(50, notes), { rolled: 'alike' }).bytes);
      expect(heard.map(({ on }) => on)).toEqual([1000, 1050, 1100, 1150]);
      heard.slice(1).forEach(({ note }, place) => {
        expect(Math.sign(note - (heard[place]?.note ?? 0))).toBe(sign);
      });
      expect(heard.map(({ off }) => off)).toEqual([2500, 2500, 2500, 2500]);
    }
  });

  test('a run is no roll: notes that end, that go on for long, that turn', () => {
    const run = (notes: readonly number[], step: number, length: number): Event[] =>
      notes.flatMap((note, place): Event[] => [
        [place * step, 0x90, note, 80],
        [place * step + length, 0x80, note, 64],
      ]);
    const block: Event[] = [57, 60, 64].flatMap((note): Event[] => [
      [5000, 0x90, note, 80],
      [6000, 0x80, note, 64],
    ]);
    for (const events of [
      run([48, 52, 55, 60, 64], 70, 60),
      run([48, 52, 55, 60, 64, 67, 72, 76], 80, 1000),
      run([48, 55, 52, 60], 80, 1000),
    ]) {
      const { before, bytes } = voiced([...events, ...block]);
      const early = (all: readonly Note[]) => all.filter(({ on }) => on < 4000);
      expect(early(notesOf(bytes))).toEqual(early(notesOf(before)));
    }
  });
});

test('a melody over held notes stays a melody, whatever it plays', () => {
  const melody = fc.array(
    fc.record({ gap: fc.integer({ min: 60, max: 600 }), note: fc.integer({ min: 66, max: 90 }) }),
    { minLength: 1, maxLength: 12 },
  );
  fc.assert(
    fc.property(melody, fc.integer({ min: 1, max: 6 }), (steps, third) => {
      let tick = 0;
      const tune = steps.flatMap(({ gap, note }): Event[] => {
        tick += gap;
        return [
          [tick, 0x90, note, 80],
          [tick + Math.min(gap, 50), 0x80, note, 64],
        ];
      });
      const held = [48, 52 + third].flatMap((note): Event[] => [
        [0, 0x90, note, 80],
        [tick + 1000, 0x80, note, 64],
      ]);
      const block = [57, 60, 64].flatMap((note): Event[] => [
        [tick + 3000, 0x90, note, 80],
        [tick + 4000, 0x80, note, 64],
      ]);
      const { before, bytes, voiced: count } = voiced([...held, ...tune, ...block]);
      const early = (all: readonly Note[]) => all.filter(({ on }) => on < tick + 2000);
      expect([count, early(notesOf(bytes))]).toEqual([1, early(notesOf(before))]);
    }),
    { numRuns: casesOf(60), seed: 14 },
  );
});

test('no note is struck while it sounds, whatever is played in whatever preset', () => {
  const steps = fc.array(
    fc.record({
      delta: fc.constantFrom(0, 7, 18, 40, 75, 150, 400),
      length: fc.integer({ min: 1, max: 500 }),
      note: fc.integer({ min: 40, max: 76 }),
    }),
    { minLength: 4, maxLength: 40 },
  );
  const presets = ['fourths-over-root', 'drop-2-ninths', 'spread-rolled', 'voices-apart'];
  fc.assert(
    fc.property(steps, fc.constantFrom(...presets), fc.boolean(), (all, preset, isTwo) => {
      let tick = 0;
      const ends = new Map<number, number>();
      const tracks: Event[][] = [[], []];
      all.forEach(({ delta, length, note }, place) => {
        tick += delta;
        if ((ends.get(note) ?? -1) >= tick) return;
        ends.set(note, tick + length);
        const own = isTwo && place % 2 === 1 ? tracks[1] : tracks[0];
        own?.push([tick, 0x90, note, 80], [tick + length, 0x80, note, 64]);
      });
      const chunks = tracks.map((events) => track(...events.sort(([one], [other]) => one - other)));
      const bytes = file(1, division, ...chunks);
      for (const isBroken of [false, true]) {
        for (const rolled of ['together', 'alike'] as const) {
          const options = { setup: setupWith(preset), isBroken, rolled, wish: { tracks: [1, 2] } };
          const result = revoice(bytes, options);
          if (!result.ok) continue;
          for (const place of [0, 1]) {
            expect(notesOf(result.value.bytes, place).every(({ off }) => off >= 0)).toBe(true);
          }
        }
      }
    }),
    { numRuns: casesOf(40), seed: 14 },
  );
});

test('a chord held below others sounds on, and nothing is struck where they end', () => {
  const chord = (tick: number, length: number, notes: readonly number[]): Event[] =>
    notes.flatMap((note): Event[] => [
      [tick, 0x90, note, 80],
      [tick + length, 0x80, note, 64],
    ]);
  const held = chord(0, 4000, [48, 52, 55]);
  const stabs = [1000, 2000, 3000].flatMap((tick) => chord(tick, 120, [65, 69, 72]));
  for (const leading of ['live', 'best'] as const) {
    const { bytes } = voiced([...held, ...stabs], { leading });
    expect(onsets(bytes)).toEqual([0, 1000, 2000, 3000]);
    const all = notesOf(bytes);
    for (const { note } of all.filter(({ on }) => on === 0)) {
      expect(all.filter((each) => each.note === note).at(-1)?.off).toBe(4000);
    }
  }
});

describe('broken chords', () => {
  const bars = (each: readonly (readonly number[])[], length = 250): Event[] =>
    each.flatMap((notes, bar) =>
      notes.flatMap((note, place): Event[] => [
        [bar * 2000 + place * length, 0x90, note, 80],
        [bar * 2000 + (place + 1) * length - 10, 0x80, note, 64],
      ]),
    );
  /** C, Am, F, G7: a hand that goes up and down, and one that rocks. */
  const patterns = [
    [48, 52, 55, 60, 64, 60, 55, 52],
    [57, 64, 60, 64, 57, 64, 60, 64],
    [53, 57, 60, 65, 53, 57, 60, 65],
    [55, 59, 62, 65, 55, 59, 62, 65],
  ];

  test('are refused with the option that reads them, and read with it', () => {
    const events = bars(patterns);
    const refused = revoice(file(0, division, track(...events)));
    expect(refused.ok ? '' : refused.problem).toBe(
      'no part of it has three different notes struck together: track 1 channel 1 (32 notes); ' +
        '--broken reads 4 broken chords on track 1 channel 1',
    );
    const heard: string[] = [];
    const { bytes } = voiced(events, {
      isBroken: true,
      onReport: ({ report }) => heard.push(report.heard.symbol),
    });
    expect(heard).toEqual(['C', 'Am', 'F', 'G7']);
    expect(onsets(bytes)).toEqual([0, 2000, 4000, 6000]);
    // Each sounds through most of its bar, and no longer than its notes.
    for (const { on, off } of notesOf(bytes)) {
      expect(off - on).toBeGreaterThan(1500);
      expect(off - on).toBeLessThanOrEqual(1990);
    }
  });

  test('two to the bar where its halves are two chords, and none where notes pass', () => {
    const halves = bars([[48, 52, 55, 60, 53, 57, 60, 65]]);
    expect(onsets(voiced(halves, { isBroken: true }).bytes)).toEqual([0, 1000]);
    const scale = bars([[60, 62, 64, 65, 67, 69, 71, 72]]);
    const block: Event[] = [57, 60, 64].flatMap((note): Event[] => [
      [4000, 0x90, note, 80],
      [5000, 0x80, note, 64],
    ]);
    const { before, bytes } = voiced([...scale, ...block], { isBroken: true });
    expect(notesOf(bytes).slice(0, 8)).toEqual(notesOf(before).slice(0, 8));
  });
});

test('a band whose lines meet now and then is voiced, and what is refused says what would do', () => {
  const line = (notes: readonly number[], step: number): Event[] =>
    notes.flatMap((note, place): Event[] => [
      [place * step, 0x90, note, 80],
      [place * step + step - 20, 0x80, note, 64],
    ]);
  const lines = [
    [250, 72, 74, 76, 77],
    [375, 64, 62, 67, 69],
    [150, 45, 47, 48, 50],
  ].map(([step = 0, ...notes]) => line([...notes, ...notes, ...notes], step));
  const chords = [0, 1000, 2000].flatMap((tick) =>
    [57, 60, 64].flatMap((note): Event[] => [
      [tick + 120, 0x90, note, 80],
      [tick + 700, 0x80, note, 64],
    ]),
  );
  const sorted = (events: readonly Event[]) => track(...[...events].sort(([a], [b]) => a - b));
  const band = revoice(file(1, division, ...lines.map(sorted), sorted(chords)));
  expect(band.ok && [band.value.voiced, band.value.harmony.upper.track]).toEqual([3, 4]);
  const without = revoice(file(1, division, ...lines.map(sorted)));
  expect(without.ok ? '' : without.problem).toBe(
    'no part of it has three different notes struck together: track 1 channel 1 (12 notes), ' +
      'track 2 channel 1 (12 notes), track 3 channel 1 (12 notes); together they make 2 chords: ' +
      '--track 1,2,3 reads them as one',
  );
  const together = revoice(file(1, division, ...lines.map(sorted)), {
    wish: { tracks: [1, 2, 3] },
  });
  expect(together.ok && together.value.voiced).toBe(2);
  const drums = revoice(file(0, division, track([0, 0x99, 36, 80], [100, 0x89, 36, 64])));
  expect(drums.ok ? '' : drums.problem).toContain('no notes outside percussion');
});

test('six thousand notes at one moment are read like any others', () => {
  const events: Event[] = [];
  for (const [tick, status] of [
    [0, 0x90],
    [480, 0x80],
  ] as const) {
    for (let note = 0; note < 6_000; note += 1) events.push([tick, status, note % 128, 64]);
  }
  const result = revoice(file(0, division, track(...events)));
  expect(result.ok).toBe(true);
});
