import { readFileSync } from 'node:fs';
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Engine, Setup } from '../../src/live/engine-api.ts';
import type { Message } from '../../src/midi/message.ts';
import { eventsOf, readMidiFile } from '../../src/midi/read-midi-file.ts';
import { type RevoiceOptions, revoiceMidiFile } from '../../src/revoice/revoice.ts';
import { type Event, eventsByMidiFile, file, rawTrack, text, track } from '../midi/smf.ts';
import { setupWith } from './voices.ts';

const fourths = setupWith('fourths-over-root');

function read(bytes: Uint8Array) {
  const result = readMidiFile(bytes);
  if (!result.ok) throw new Error(result.problem);
  return result.value;
}

function run(bytes: Uint8Array, options: Partial<RevoiceOptions> = {}) {
  const steps = revoiceMidiFile(read(bytes), { setup: fourths, ...options });
  for (;;) {
    const step = steps.next();
    if (step.done === true) return step.value;
  }
}

function voiced(bytes: Uint8Array, options: Partial<RevoiceOptions> = {}): Uint8Array {
  const result = run(bytes, options);
  if (!result.ok) throw new Error(result.problem);
  return result.value.bytes;
}

function rowsOf(bytes: Uint8Array, number = 0): number[][] {
  const chunk = read(bytes).chunks[number];
  if (chunk === undefined) throw new Error('no such chunk');
  return [...eventsOf(chunk)].map(({ tick, bytes: event }) => [tick, ...Array.from(event)]);
}

const chord = (tick: number, length: number, notes: readonly number[], channel = 0): Event[] => [
  ...notes.map((note) => [tick, 0x90 + channel, note, 80] as const),
  ...notes.map((note) => [tick + length, 0x80 + channel, note, 64] as const),
];

const dMinor = [62, 65, 69];
const gMajor = [62, 67, 71];

/** Passes everything: what comes out must be what went in. */
function passAll(): Engine {
  const nothing = { lowest: 0, highest: 0 };
  const snapshot = {
    revision: 0,
    preset: '',
    key: '',
    upper: nothing,
    bass: nothing,
    held: [],
    sounding: [],
    chords: [],
    isChordSounding: false,
    learned: { keys: 0, spreadMicroseconds: 0 },
  };
  return {
    receive: (message: Message) => [message],
    advance: () => [],
    prepare: () => false,
    deadline: () => undefined,
    choose: () => [],
    keep: () => [],
    latch: () => [],
    takeShape: () => [],
    playSymbol: (_, keys) => keys,
    listen: () => [],
    follow: () => [],
    oneKey: () => [],
    setPlace: () => [],
    change: () => [],
    letGo: () => [],
    panic: () => [],
    takeReports: () => [],
    snapshot: () => snapshot as unknown as ReturnType<Engine['snapshot']>,
  };
}

describe('what is no chord', () => {
  const anyEvent = fc.oneof(
    fc.tuple(fc.constantFrom(0x80, 0x90), fc.integer({ min: 58, max: 64 }), fc.nat(127)),
    fc.tuple(fc.constantFrom(0xb0, 0xe0, 0xa0), fc.nat(127), fc.nat(127)),
    fc.tuple(fc.constantFrom(0xc0, 0xd0), fc.nat(127)),
  );
  const anyTrack = fc.array(fc.tuple(fc.nat(90), fc.nat(2), anyEvent), { maxLength: 60 });

  test('keeps bytes, ticks and order when the engine passes it on, overlapping notes and all', () => {
    fc.assert(
      fc.property(anyTrack, (steps) => {
        let tick = 0;
        const events = steps.map(([delta, channel, [status, ...data]]): Event => {
          tick += delta;
          return [tick, status + channel, ...data];
        });
        // A chord at the end, so that there is a part to voice at all.
        const bytes = file(0, 480, track(...events, ...chord(tick + 500, 100, dMinor)));
        const out = voiced(bytes, { createEngine: passAll });
        expect(rowsOf(out).sort(byTick)).toEqual(rowsOf(bytes).sort(byTick));
      }),
      { numRuns: 300, seed: 6 },
    );
  });

  const byTick = (one: number[], other: number[]) =>
    (one[0] ?? 0) - (other[0] ?? 0) || one.join().localeCompare(other.join());

  test('a melody and its pedal come out as they went in, note-offs as note-ons with velocity 0', () => {
    const melody = rawTrack(
      ...[
        0, 0x90, 60, 90, 10, 0xb0, 64, 127, 90, 0x90, 64, 70, 5, 60, 0, 100, 64, 0, 0, 0xb0, 64, 0,
      ],
    );
    const withChord = Uint8Array.from([...melody]);
    const bytes = file(1, 480, withChord, track(...chord(0, 400, dMinor)));
    expect(rowsOf(voiced(bytes, { wish: { tracks: [2] } }), 0)).toEqual(rowsOf(bytes, 0));
    // The same melody before a chord on its own channel.
    const events = rowsOf(bytes, 0).slice(0, -1) as unknown as Event[];
    const together = file(0, 480, track(...events, ...chord(2000, 400, dMinor)));
    expect(rowsOf(voiced(together)).slice(0, events.length)).toEqual(events);
  });

  test('other tracks, unknown chunks and the header are copied byte for byte', () => {
    const tempo = track([0, 0xff, 0x51, 3, 9, 39, 192], [480, ...text(6, 'Verse')]);
    const bass = rawTrack(0, 0x91, 36, 90, 0x83, 0x60, 36, 0, 0, 0xff, 0x2f, 0);
    const bytes = file(1, 480, tempo, bass, track(...chord(0, 400, dMinor)));
    const out = voiced(bytes, { wish: { tracks: [3] } });
    const [, first, second] = [read(out).header, ...read(out).chunks.map(({ whole }) => whole)];
    expect(first).toEqual(tempo);
    expect(second).toEqual(bass);
    expect(out.subarray(0, 14)).toEqual(bytes.subarray(0, 14));
  });

  test('words, markers and SysEx inside the voiced track stay where they are', () => {
    const words: Event[] = [
      [0, ...text(5, 'la')],
      [200, 0xf0, 2, 0x7e, 0xf7],
      [480, ...text(6, 'Bridge')],
      [500, 0xc1, 7],
    ];
    const bytes = file(
      0,
      480,
      track(...words, ...chord(0, 400, dMinor), ...chord(480, 400, gMajor)),
    );
    const kept = rowsOf(voiced(bytes)).filter(
      ([, status = 0]) => status >= 0xc0 && status !== 0xff,
    );
    expect(kept).toEqual([
      [200, 0xf0, 2, 0x7e, 0xf7],
      [500, 0xc1, 7],
    ]);
    const meta = (rows: number[][]) => rows.filter(([, status]) => status === 0xff);
    expect(meta(rowsOf(voiced(bytes)))).toEqual(meta(rowsOf(bytes)));
  });
});

describe('chords', () => {
  // Three-part fourths over the root of D minor: D, then D G C or G C F, A D G … (stacked perfect
  // fourths, Persichetti, Twentieth-Century Harmony, ch. 4; from memory).
  test('stand where their notes began, as fourths over their root, and end with their keys', () => {
    const bytes = file(0, 480, track(...chord(960, 400, dMinor)));
    const rows = rowsOf(voiced(bytes)).slice(0, -1);
    const on = rows.filter(([, status]) => status === 0x90);
    expect(on.map(([tick]) => tick)).toEqual([960, 960, 960, 960]);
    const [bass = 0, ...upper] = on.map(([, , note = 0]) => note);
    expect(bass % 12).toBe(2);
    expect(upper.slice(1).map((note, i) => note - (upper[i] ?? 0))).toEqual([5, 5]);
    expect(rows.filter(([, status]) => status === 0x80).map(([tick]) => tick)).toEqual([
      1360, 1360, 1360, 1360,
    ]);
  });

  test('a ragged hand is one chord, at its first note, whatever the preset waits', () => {
    const ragged: Event[] = [
      [960, 0x90, 62, 80],
      [970, 0x90, 65, 80],
      [980, 0x90, 69, 80],
      ...dMinor.map((note) => [1400, 0x80, note, 64] as const),
    ];
    const on = rowsOf(voiced(file(0, 480, track(...ragged)))).filter(([, s]) => s === 0x90);
    expect(new Set(on.map(([tick]) => tick))).toEqual(new Set([960]));
    expect(on).toHaveLength(4);
  });

  test('the same in time code as in quarter notes of the same length', () => {
    const inQuarters = voiced(file(0, 500, track(...chord(960, 400, dMinor))));
    const inFrames = voiced(file(0, 0xe728, track(...chord(960, 400, dMinor))));
    expect(rowsOf(inFrames)).toEqual(rowsOf(inQuarters));
  });

  test('each note-on has its note-off, whatever the file left open', () => {
    const open: Event[] = dMinor.map((note) => [0, 0x90, note, 80]);
    const rows = rowsOf(voiced(file(0, 480, track(...open, [999, 0xb0, 1, 1]))));
    const count = (status: number) => rows.filter(([, s]) => s === status).length;
    expect(count(0x80)).toBe(count(0x90));
  });

  test('reports name each chord with its place', () => {
    const heard: string[] = [];
    const bytes = file(0, 480, track(...chord(0, 400, dMinor), ...chord(480, 400, gMajor)));
    voiced(bytes, {
      onReport: ({ part, report }) =>
        heard.push(`${part.track}/${part.channel} ${report.atMicroseconds} ${report.heard.symbol}`),
    });
    expect(heard).toEqual(['1/0 0 Dm', '1/0 500000 G/D']);
  });
});

describe('which part', () => {
  const bytes = file(
    1,
    480,
    track([0, ...text(3, 'Melody')], ...chord(0, 400, [72], 2)),
    track([0, ...text(3, 'Pad')], ...chord(0, 400, dMinor, 1)),
    track([0, ...text(3, 'Keys')], ...chord(0, 400, dMinor, 0), ...chord(480, 400, gMajor, 0)),
  );
  const parts = (options: Partial<RevoiceOptions>) => {
    const result = run(bytes, options);
    return result.ok ? result.value.harmony.parts.map(({ name }) => name) : result.problem;
  };

  test.each<readonly [string, Partial<RevoiceOptions>, unknown]>([
    ['the one with the most chords', {}, ['Keys']],
    ['a track', { wish: { tracks: [2] } }, ['Pad']],
    ['a channel', { wish: { channels: [1] } }, ['Pad']],
    [
      'one without chords',
      { wish: { tracks: [1] } },
      'there are no chords on track 1; they are on track 2 channel 2, track 3 channel 1',
    ],
  ])('%s', (_, options, expected) => {
    expect(parts(options)).toEqual(expected);
  });

  test('patterns of their own (format 2) are refused', () => {
    const patterns = run(file(2, 480, track(...chord(0, 400, dMinor))));
    expect(patterns.ok ? '' : patterns.problem).toContain('format 2');
  });
});

// Files of other makers: the test files of the npm package midifile-ts (MIT).
describe.each(['song', 'tracks'])('%s of another maker', (name) => {
  const bytes = Uint8Array.from(readFileSync(`node_modules/midifile-ts/fixtures/${name}.mid`));

  test('comes out with its other tracks as an independent parser reads them before', () => {
    const result = run(bytes);
    if (!result.ok) throw new Error(result.problem);
    const before = eventsByMidiFile(bytes);
    const after = eventsByMidiFile(result.value.bytes);
    const touched = new Set(result.value.written.map((each) => each - 1));
    expect(after).toHaveLength(before.length);
    before.forEach((events, place) => {
      if (!touched.has(place)) expect(after[place]).toEqual(events);
    });
    const isChanged = [...touched].every(
      (place) => JSON.stringify(after[place]) !== JSON.stringify(before[place]),
    );
    expect(isChanged).toBe(true);
  });
});

test('the same file and setup give the same bytes', () => {
  const setup: Setup = setupWith('close-as-played', 'D minor');
  const bytes = readFileSync('node_modules/midifile-ts/fixtures/song.mid');
  expect(run(bytes, { setup })).toEqual(run(bytes, { setup }));
});
