import { execFileSync } from 'node:child_process';
import * as fc from 'fast-check';
import { type MidiEvent, parseMidi } from 'midi-file';
import { type AnyEvent, read } from 'midifile-ts';
import { describe, expect, test } from 'vitest';
import { encode } from '../../src/midi/encode.ts';
import { takeToMidiFile } from '../../src/take/midi-file.ts';
import type { Take, TakeEvent } from '../../src/take/take.ts';
import { hasProgram } from '../helpers/outside.ts';
import { anyMessage } from '../midi/arbitraries.ts';
import { reportOf } from './reports.ts';

const at = (milliseconds: number, direction: TakeEvent['direction'], ...bytes: number[]) => ({
  atMicroseconds: 7_000_000 + milliseconds * 1000,
  direction,
  bytes,
});

/** One chord of two notes, its bass sounding with it, a pedal, a bend, a SysEx. */
const take: Take = {
  events: [
    at(0, 'played', 0x90, 60, 100),
    at(4, 'played', 0x90, 64, 90),
    at(4, 'sounded', 0x90, 36, 80),
    at(4, 'sounded', 0x90, 64, 90),
    at(4, 'sounded', 0x90, 67, 90),
    at(250, 'played', 0xb0, 64, 127),
    at(250, 'sounded', 0xb0, 64, 127),
    at(300, 'sounded', 0xe1, 0, 0x50),
    at(300, 'sounded', 0xf0, 0x7e, 0x7f, 6, 1, 0xf7),
    at(500, 'played', 0x80, 60, 30),
    at(500, 'played', 0x80, 64, 30),
    at(500, 'sounded', 0x80, 36, 30),
    at(500, 'sounded', 0x80, 64, 30),
    at(500, 'sounded', 0x80, 67, 30),
  ],
  chords: [
    { atMicroseconds: 7_004_000, heard: { symbol: 'C' } },
    { atMicroseconds: 7_300_000, heard: { symbol: '' } },
    { atMicroseconds: 7_400_000, heard: { symbol: 'B♭ø' } },
  ],
};

// 120 quarter notes a minute and a division of 480: 960 ticks a second (SMF 1.0, "Tempo").
const sounded = [
  [4, 'noteOn', 0, 36, 80],
  [4, 'noteOn', 0, 64, 90],
  [4, 'noteOn', 0, 67, 90],
  [240, 'controller', 0, 64, 127],
  [288, 'pitchBend', 1, 2048],
  [288, 'sysEx', 0x7e, 0x7f, 6, 1, 0xf7],
  [480, 'noteOff', 0, 36, 30],
  [480, 'noteOff', 0, 64, 30],
  [480, 'noteOff', 0, 67, 30],
];

type Row = readonly (number | string)[];

/** A parser's own events as rows of tick, type and values; what `row` does not know is left out. */
function rows<E extends { readonly deltaTime: number }>(
  events: readonly E[] | undefined,
  row: (event: E) => Row | undefined,
): Row[] {
  let tick = 0;
  return (events ?? []).flatMap((event) => {
    tick += event.deltaTime;
    const values = row(event);
    return values ? [[tick, ...values]] : [];
  });
}

function rowOfWriter(event: MidiEvent): Row | undefined {
  switch (event.type) {
    case 'noteOn':
    case 'noteOff':
      return [event.type, event.channel, event.noteNumber, event.velocity];
    case 'controller':
      return [event.type, event.channel, event.controllerType, event.value];
    case 'pitchBend':
      return [event.type, event.channel, event.value];
    case 'sysEx':
      return [event.type, ...Array.from(event.data)];
    default:
      return undefined;
  }
}

function rowOfIndependent(event: AnyEvent): Row | undefined {
  if (event.type === 'sysEx') return ['sysEx', ...event.data];
  if (event.type !== 'channel') return undefined;
  const { subtype, channel } = event;
  switch (subtype) {
    case 'noteOn':
    case 'noteOff':
      return [subtype, channel, event.noteNumber, event.velocity];
    case 'controller':
      return [subtype, channel, event.controllerType, event.value];
    case 'pitchBend':
      // It keeps the 14 bits as they are; 8192 is the centre (MIDI 1.0, "Pitch Bend Change").
      return [subtype, channel, event.value - 8192];
    default:
      return undefined;
  }
}

describe('read back', () => {
  test('with the parser of the library that wrote it', () => {
    const { header, tracks } = parseMidi(takeToMidiFile(take));
    expect(header).toEqual({ format: 1, numTracks: 3, ticksPerBeat: 480 });
    expect(rows(tracks[2], rowOfWriter)).toEqual(sounded);
  });

  test('with midifile-ts, an independent parser', () => {
    const { header, tracks } = read(takeToMidiFile(take));
    expect(header).toMatchObject({ formatType: 1, trackCount: 3, ticksPerBeat: 480 });
    expect(rows(tracks[2], rowOfIndependent)).toEqual(sounded);
  });

  test('sections of a tune are markers in brackets, once each time they begin', () => {
    const place = (bar: number, chorus: number, section?: string) => ({
      place: { bar, beat: 1, chorus, ...(section !== undefined && { section }) },
    });
    const chords = [
      { ...reportOf(0, 'C', ['C3']), ...place(1, 1, 'A') },
      { ...reportOf(100_000, 'C6', ['C3']), ...place(1, 1, 'A'), isRevoiced: true as const },
      { ...reportOf(200_000, 'F', ['F3']), ...place(2, 1) },
      { ...reportOf(300_000, 'G', ['G3']), ...place(3, 1, 'Bridge') },
      { ...reportOf(400_000, 'C', ['C3']), ...place(1, 2, 'A') },
    ];
    const [tempo = []] = parseMidi(takeToMidiFile({ events: [], chords })).tracks;
    const texts = tempo.flatMap((event) => (event.type === 'marker' ? [event.text] : []));
    expect(texts).toEqual(['[A]', 'C', 'F', '[Bridge]', 'G', '[A]', 'C']);
  });

  test('tempo, names and chord symbols', () => {
    const [tempo, played, out] = parseMidi(takeToMidiFile(take, { tempo: 60 })).tracks;
    const bytes = (text: string) => Buffer.from(text, 'latin1').toString('utf8');
    expect(tempo).toMatchObject([
      { type: 'setTempo', microsecondsPerBeat: 1_000_000 },
      { type: 'marker', text: 'C', deltaTime: 2 },
      { type: 'marker', deltaTime: 190 },
      { type: 'endOfTrack' },
    ]);
    const marker = tempo?.[2];
    expect(marker?.type === 'marker' && bytes(marker.text)).toBe('B♭ø');
    expect(played?.[0]).toMatchObject({ type: 'trackName', text: 'As played' });
    expect(out?.[0]).toMatchObject({ type: 'trackName', text: 'As sounded' });
  });
});

describe('odd takes', () => {
  test('a key that was set later begins where it was, whatever the head says', () => {
    const chordAt = (atMicroseconds: number, key?: string) => ({
      atMicroseconds,
      heard: { symbol: 'C' },
      ...(key !== undefined && { key }),
    });
    const event = { atMicroseconds: 0, direction: 'played', bytes: [0x90, 60, 80] } as const;
    const signatures = (chords: Take['chords'], key: string) => {
      const [first = []] = parseMidi(takeToMidiFile({ events: [event], chords }, { key })).tracks;
      let tick = 0;
      return first.flatMap((each) => {
        tick += each.deltaTime;
        return each.type === 'keySignature' ? [[tick, each.key]] : [];
      });
    };
    const late = [chordAt(0), chordAt(1_000_000, 'Db major')];
    expect(signatures(late, 'Db major')).toEqual([[960, -5]]);
    expect(signatures([chordAt(0)], 'Db major')).toEqual([[0, -5]]);
  });

  test('an empty one is a file of three empty tracks', () => {
    const { tracks } = parseMidi(takeToMidiFile({ events: [], chords: [] }));
    expect(tracks.map((track) => track.map((event) => event.type))).toEqual([
      ['setTempo', 'endOfTrack'],
      ['trackName', 'endOfTrack'],
      ['trackName', 'endOfTrack'],
    ]);
  });

  test('hanging notes end a tick after the last event, each as often as it was struck', () => {
    const hanging: Take = {
      events: [
        at(0, 'sounded', 0x90, 64, 1),
        at(0, 'sounded', 0x90, 60, 1),
        at(0, 'sounded', 0x90, 60, 1),
        at(100, 'played', 0x90, 50, 1),
      ],
      chords: [],
    };
    const [, played, out] = parseMidi(takeToMidiFile(hanging)).tracks;
    const offs = (track: typeof out) =>
      (track ?? []).flatMap((e) => (e.type === 'noteOff' ? [[e.deltaTime, e.noteNumber]] : []));
    expect(offs(out)).toEqual([
      [97, 60],
      [0, 60],
      [0, 64],
    ]);
    expect(offs(played)).toEqual([[1, 50]]);
  });

  test('a long take does not drift: every tick is within half a tick of its time', () => {
    const events = Array.from({ length: 2000 }, (_, i) =>
      at(i * 333.333, 'played', 0xb0, 1, i & 127),
    );
    let tick = 0;
    const [, played] = parseMidi(takeToMidiFile({ events, chords: [] })).tracks;
    const ticks = (played ?? []).flatMap((event) => {
      tick += event.deltaTime;
      return event.type === 'controller' ? [tick] : [];
    });
    expect(ticks).toEqual(events.map((_, i) => Math.round(i * 333.333 * 0.96)));
  });

  test('any messages: readable by both parsers, as many note-offs as note-ons or more, repeatable', () => {
    const event = fc.record({
      atMicroseconds: fc.nat({ max: 10_000_000_000 }),
      direction: fc.constantFrom('played' as const, 'sounded' as const),
      bytes: anyMessage.map((message) => encode(message)),
    });
    fc.assert(
      fc.property(fc.array(event, { maxLength: 60 }), (events) => {
        const bytes = takeToMidiFile({ events, chords: [] });
        expect(takeToMidiFile({ events, chords: [] })).toEqual(bytes);
        const kept = events.filter(({ bytes: [s = 0] }) => s <= 0xf0).length;
        const ours = parseMidi(bytes).tracks.slice(1).flat();
        const ons = ours.filter((e) => e.type === 'noteOn').length;
        expect(ours.filter((e) => e.type === 'noteOff').length).toBeGreaterThanOrEqual(ons);
        expect(ours.length).toBeGreaterThanOrEqual(kept + 4);
        expect(read(bytes).tracks.slice(1).flat()).toHaveLength(ours.length);
      }),
      { numRuns: 60 },
    );
  });
});

test.skipIf(!hasProgram('midicsv', '-u'))("Debian's midicsv reads the same [needs midicsv]", () => {
  const csv = execFileSync('midicsv', ['-', '-'], { input: takeToMidiFile(take) }).toString(
    'latin1',
  );
  expect(csv.split('\n').filter((line) => line.startsWith('3,'))).toEqual([
    '3, 0, Start_track',
    '3, 0, Title_t, "As sounded"',
    '3, 4, Note_on_c, 0, 36, 80',
    '3, 4, Note_on_c, 0, 64, 90',
    '3, 4, Note_on_c, 0, 67, 90',
    '3, 240, Control_c, 0, 64, 127',
    '3, 288, Pitch_bend_c, 1, 10240',
    '3, 288, System_exclusive, 5, 126, 127, 6, 1, 247',
    '3, 480, Note_off_c, 0, 36, 30',
    '3, 480, Note_off_c, 0, 64, 30',
    '3, 480, Note_off_c, 0, 67, 30',
    '3, 480, End_track',
  ]);
});
