import { readFileSync } from 'node:fs';
import * as fc from 'fast-check';
import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import {
  eventsOf,
  type MidiFile,
  readMidiFile,
  sequenceName,
} from '../../src/midi/read-midi-file.ts';
import { createTempoMap, tempoMapOf } from '../../src/midi/tempo-map.ts';
import { casesOf } from '../helpers/round.ts';
import { file, rawTrack, track } from './smf.ts';

/** Files of other makers: the test files of the npm package midifile-ts (MIT). */
const fixtures = ['song', 'tracks'].map((name) => `node_modules/midifile-ts/fixtures/${name}.mid`);
const [song = ''] = fixtures;

function good(bytes: Uint8Array): MidiFile {
  const result = readMidiFile(bytes);
  if (!result.ok) throw new Error(result.problem);
  return result.value;
}

function problem(bytes: Uint8Array): string {
  const result = readMidiFile(bytes);
  return result.ok ? '' : result.problem;
}

type Row = readonly (number | string)[];

function ours(bytes: Uint8Array): Row[] {
  const rows: Row[] = [];
  for (const chunk of good(bytes).chunks) {
    for (const event of eventsOf(chunk)) rows.push([event.tick, ...Array.from(event.bytes)]);
  }
  return rows;
}

/** midi-file's events as bytes again, channel messages only: it keeps no bytes of the others. */
function theirs(bytes: Uint8Array): Row[] {
  return parseMidi(bytes).tracks.flatMap((events) => {
    let tick = 0;
    return events.flatMap((event): Row[] => {
      tick += event.deltaTime;
      switch (event.type) {
        case 'noteOn':
          return [[tick, 0x90 + event.channel, event.noteNumber, event.velocity]];
        case 'noteOff': {
          const status = 'byte9' in event && event.byte9 ? 0x90 : 0x80;
          return [[tick, status + event.channel, event.noteNumber, event.velocity]];
        }
        case 'controller':
          return [[tick, 0xb0 + event.channel, event.controllerType, event.value]];
        case 'programChange':
          return [[tick, 0xc0 + event.channel, event.programNumber]];
        case 'pitchBend': {
          const value = event.value + 0x2000;
          return [[tick, 0xe0 + event.channel, value & 0x7f, value >> 7]];
        }
        default:
          return [];
      }
    });
  });
}

describe('files of other makers', () => {
  test.each(fixtures)('%s holds what an independent parser finds in it', (name) => {
    const bytes = readFileSync(name);
    const channelRows = ours(bytes).filter(([, status]) => Number(status) < 0xf0);
    const known = new Set([0x8, 0x9, 0xb, 0xc, 0xe]);
    const kept = channelRows.filter(([, status]) => known.has(Number(status) >> 4));
    expect(kept.length).toBeGreaterThan(500);
    expect(kept).toEqual(theirs(bytes));
  });

  test('cut off anywhere, a file is refused in one sentence', () => {
    const bytes = readFileSync(song);
    for (let length = 0; length < bytes.length; length += 1) {
      expect(problem(bytes.subarray(0, length))).toMatch(/^[^.\n]+$/);
    }
  });

  test('with bytes changed at random, a file is read or refused, and never more than that', () => {
    const bytes = readFileSync(song);
    const change = fc.record({ at: fc.nat(bytes.length - 1), to: fc.nat(255) });
    fc.assert(
      fc.property(fc.array(change, { minLength: 1, maxLength: 12 }), (changes) => {
        const spoilt = Uint8Array.from(bytes);
        for (const { at, to } of changes) spoilt[at] = to;
        const result = readMidiFile(spoilt);
        if (!result.ok) {
          expect(result.problem).toMatch(/^[^\n]+$/);
          return;
        }
        const tempo = tempoMapOf(result.value);
        for (const chunk of result.value.chunks.filter(({ isTrack }) => isTrack)) {
          for (const { tick } of eventsOf(chunk)) expect(tempo.microsecondsAt(tick)).not.toBeNaN();
        }
      }),
      { numRuns: casesOf(300), seed: 6 },
    );
  });

  test('any bytes behind a header are read or refused', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (data) => {
        const result = readMidiFile(file(1, 96, rawTrack(...data)));
        if (result.ok)
          for (const chunk of result.value.chunks) expect([...eventsOf(chunk)]).toBeTruthy();
        else expect(result.problem).toMatch(/track 1, byte \d+: /);
      }),
      { numRuns: 500, seed: 6 },
    );
  });
});

describe('what is refused, and why', () => {
  const one = track([0, 0x90, 60, 64]);
  test.each<readonly [string, Uint8Array, string]>([
    ['nothing', Uint8Array.of(), 'it is empty'],
    [
      'other words',
      Uint8Array.from([82, 73, 70, 70, 0]),
      'it does not begin with MThd, as MIDI files do',
    ],
    [
      'an unknown format',
      file(3, 96, one),
      'its header names the format 3, and there are 0, 1 and 2',
    ],
    ['no ticks', file(0, 0, one), 'its header gives a quarter note no ticks'],
    [
      'a track too few',
      file(1, 96, one).fill(2, 11, 12),
      'its header counts 2 tracks, and it ends after 1',
    ],
    [
      'a status of the wire',
      file(0, 96, rawTrack(0, 0xf8)),
      'track 1, byte 1: the status F8 has no place in a file',
    ],
    [
      'data without status',
      file(0, 96, rawTrack(0, 60, 64)),
      'track 1, byte 1: an event has no status',
    ],
    [
      'a long length',
      file(0, 96, rawTrack(0xff, 0xff, 0xff, 0xff, 0)),
      'track 1, byte 4: a length has more than four bytes',
    ],
    [
      'a text longer than its track',
      file(0, 96, rawTrack(0, 0xff, 1, 90, 65)),
      'track 1, byte 94: an event is longer than its track',
    ],
  ])('%s', (_, bytes, sentence) => {
    expect(problem(bytes)).toBe(sentence);
  });
});

describe('events', () => {
  test('running status is written out (SMF 1.0, "MTrk event")', () => {
    const running = rawTrack(0, 0x90, 60, 64, 10, 62, 64, 0x81, 0, 0x80, 60, 0, 0, 62, 0);
    expect(ours(file(0, 96, running))).toEqual([
      [0, 0x90, 60, 64],
      [10, 0x90, 62, 64],
      [138, 0x80, 60, 0],
      [138, 0x80, 62, 0],
      [138, 0xff, 0x2f, 0],
    ]);
  });

  test('SysEx, text and unknown meta events keep their bytes; what follows the end does not count', () => {
    const strange = [
      0, 0xf0, 2, 0x7e, 0xf7, 5, 0xff, 0x60, 1, 9, 0, 0xf7, 1, 0xf8, 0, 0xff, 0x2f, 0, 0xf1,
    ];
    expect(ours(file(0, 96, rawTrack(...strange)))).toEqual([
      [0, 0xf0, 2, 0x7e, 0xf7],
      [5, 0xff, 0x60, 1, 9],
      [5, 0xf7, 1, 0xf8],
      [5, 0xff, 0x2f, 0],
    ]);
  });

  test('chunks of unknown kinds and bytes behind the last track are kept', () => {
    const alien = Uint8Array.from([0x58, 0x46, 0x49, 0x48, 0, 0, 0, 1, 7]);
    const bytes = Uint8Array.from([...file(1, 96, track()), ...alien]);
    bytes.copyWithin(14 + alien.length, 14, bytes.length - alien.length);
    bytes.set(alien, 14);
    const read = good(Uint8Array.from([...bytes, 0, 0]));
    expect(read.chunks.map(({ isTrack }) => isTrack)).toEqual([false, true]);
    expect([...read.rest]).toEqual([0, 0]);
  });
});

describe('time', () => {
  // SMF 1.0, "Set Tempo": 500 000 microseconds a quarter note when a file says nothing.
  test('without a tempo, 120 quarter notes a minute', () => {
    const tempo = createTempoMap({ type: 'metrical', ticksPerQuarter: 96 }, []);
    expect(tempo.microsecondsAt(96)).toBe(500_000);
    expect(tempo.tickAt(500_000)).toBe(96);
  });

  // SMF 1.0, "Header Chunks": -25 and 40 make ticks of a millisecond.
  test('in time code, 25 frames of 40 ticks are a second, and tempo says nothing', () => {
    const bytes = file(0, 0xe728, track([0, 0xff, 0x51, 3, 0, 0, 9], [1000, 0x90, 60, 64]));
    expect(tempoMapOf(good(bytes)).microsecondsAt(1000)).toBe(1_000_000);
  });

  test('a tempo holds from its tick on, in every track, and there is a way back', () => {
    const set = (tick: number, beat: number) =>
      [tick, 0xff, 0x51, 3, beat >> 16, (beat >> 8) & 255, beat & 255] as const;
    const slow = track(set(0, 1_000_000), set(200, 250_000));
    const tempo = tempoMapOf(good(file(1, 100, track(set(100, 500_000)), slow)));
    const known = [
      [0, 0],
      [100, 1_000_000],
      [150, 1_250_000],
      [200, 1_500_000],
      [400, 2_000_000],
    ] as const;
    for (const [tick, microseconds] of known) {
      expect(tempo.microsecondsAt(tick)).toBe(microseconds);
      expect(tempo.tickAt(microseconds)).toBe(tick);
    }
    fc.assert(
      fc.property(fc.nat(5000), (tick) => tempo.tickAt(tempo.microsecondsAt(tick)) === tick),
    );
  });
});

describe('the name of the whole', () => {
  const name = (...bytes: number[]) => [0, 0xff, 3, bytes.length, ...bytes] as const;
  const ascii = (words: string) => [...words].map((letter) => letter.charCodeAt(0));

  test.each<readonly [string, Uint8Array[], string]>([
    [
      'is that of the first track',
      [track(name(...ascii('Copper Kettle'))), track()],
      'Copper Kettle',
    ],
    ['is none where only another track has one', [track(), track(name(...ascii('Piano')))], ''],
    ['is none where it is blank', [track(name(0x20, 0))], ''],
    ['is read as UTF-8', [track(name(...new TextEncoder().encode('Grüne Laube')))], 'Grüne Laube'],
    // Windows-1252 has 0xFC for u with diaeresis.
    ['or else as Latin letters', [track(name(...ascii('Gr'), 0xfc, ...ascii('ne')))], 'Grüne'],
    ['has no line breaks', [track(name(...ascii('Two\nlines')))], 'Two lines'],
  ])('%s', (_, tracks, expected) => {
    expect(sequenceName(good(file(1, 480, ...tracks)))).toBe(expected);
  });
});
