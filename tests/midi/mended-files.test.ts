/**
 * Files that are not right and that other programs read: the npm packages midi-file and midifile-ts
 * say which those are. What they make of the damaged events is theirs; all others are compared.
 */
import { readFileSync } from 'node:fs';
import { parseMidi } from 'midi-file';
import { read as parseByMidifileTs } from 'midifile-ts';
import { describe, expect, test } from 'vitest';
import { eventsOf, type MidiFile, readMidiFile } from '../../src/midi/read-midi-file.ts';
import { file, rawTrack, text, track } from './smf.ts';

/** The test files of the npm packages midifile-ts and midiconvert (both MIT). */
const files = [
  'node_modules/midifile-ts/fixtures/song.mid',
  'node_modules/midiconvert/test/midi/bwv-988-v01.mid',
].map((path) => Uint8Array.from(readFileSync(path)));

function good(bytes: Uint8Array): MidiFile {
  const result = readMidiFile(bytes);
  if (!result.ok) throw new Error(result.problem);
  return result.value;
}

/** Both other readers take it, and find a note that cannot be. */
function isReadByOthers(bytes: Uint8Array): boolean {
  try {
    parseByMidifileTs(bytes);
    return notesByMidiFile(bytes)
      .flat()
      .some((note) => !isRight(note));
  } catch {
    return false;
  }
}

type Note = readonly [tick: number, status: number, note: number, velocity: number];

/** Note-ons and note-offs of each track as midi-file reads them, those above 127 and all. */
function notesByMidiFile(bytes: Uint8Array): readonly (readonly Note[])[] {
  return parseMidi(bytes).tracks.map((events) => {
    let tick = 0;
    return events.flatMap((event): Note[] => {
      tick += event.deltaTime;
      if (event.type !== 'noteOn' && event.type !== 'noteOff') return [];
      const status = event.type === 'noteOn' || event.byte9 === true ? 0x90 : 0x80;
      return [[tick, status + event.channel, event.noteNumber, event.velocity]];
    });
  });
}

function notesOf({ chunks }: MidiFile): readonly (readonly Note[])[] {
  return chunks.map((chunk) =>
    [...eventsOf(chunk)].flatMap(({ tick, bytes }): Note[] => {
      const [status = 0, note = 0, velocity = 0] = [bytes[0], bytes[1], bytes[2]];
      return status < 0xa0 ? [[tick, status, note, velocity]] : [];
    }),
  );
}

/** Note-ons less note-offs, over all channels and notes; what is ended twice counts as once. */
function leftOpen(tracks: readonly (readonly Note[])[]): number {
  return tracks.reduce((sum, notes) => {
    const open = new Set<number>();
    for (const [, status, note, velocity] of notes) {
      const key = (status & 15) * 128 + note;
      if (status >= 0x90 && velocity > 0) open.add(key);
      else open.delete(key);
    }
    return sum + open.size;
  }, 0);
}

const isRight = ([, , note, velocity]: Note) => note < 128 && velocity < 128;

describe('a data byte above 127', () => {
  /** Every so many bytes of the tracks, one after the other. */
  const stride = 41;

  test('leaves out its event and no other, wherever two other readers go on', () => {
    let count = 0;
    for (const whole of files) {
      for (let place = 22; place < whole.length; place += stride) {
        const bytes = Uint8Array.from(whole);
        bytes[place] = (bytes[place] ?? 0) | 0x80;
        if (!isReadByOthers(bytes)) continue;
        const ours = good(bytes);
        count += 1;
        const theirs = notesByMidiFile(bytes);
        const kept = theirs.map((notes) => notes.filter(isRight).map(String));
        const spoilt = theirs.flat().length - kept.flat().length;
        const own = notesOf(ours).map((notes) => notes.map(String));
        const missing = kept.map((notes, part) => notes.filter(without(own[part] ?? [])));
        const more = own.map((notes, part) => notes.filter(without(kept[part] ?? [])));
        // What is new is the end of a note whose own end was spoilt.
        expect([missing.flat(), more.flat().slice(spoilt)]).toEqual([[], []]);
        expect(more.flat().every((note) => note.endsWith(',64'))).toBe(true);
      }
    }
    expect(count).toBeGreaterThan(85);
  });

  test('in the end of a note: the note ends all the same', () => {
    for (const [status, note, velocity] of [
      [0x80, 60, 0xc0],
      [0x80, 0xbc, 64],
      [0x90, 0xbc, 0],
      [0x90, 60, 0x80],
    ] as const) {
      const end = [48, status, note, velocity];
      const bytes = file(0, 96, rawTrack(0, 0x90, 60, 64, ...end, 48, 0x90, 64, 64, 48, 64, 0));
      const { chunks, mended } = good(bytes);
      expect(leftOpen(notesOf({ chunks } as MidiFile))).toBe(0);
      const [[, second] = []] = notesOf({ chunks } as MidiFile);
      expect(second).toEqual([48, 0x80, 60, 64]);
      expect(mended.skipped).toBe(note > 127 ? 1 : 0);
    }
  });

  test('in every fifth event is no music any more', () => {
    const events = Array.from({ length: 100 }, (_, i) => [10, 0x90, i % 5 === 0 ? 200 : 60, 64]);
    expect(readMidiFile(file(0, 96, rawTrack(...events.flat())))).toMatchObject({
      ok: false,
      problem: expect.stringContaining('20 of its 100 events have a data byte above 127'),
    });
  });
});

/** True for what is not among these. */
function without(notes: readonly string[]): (note: string) => boolean {
  const known = new Set(notes);
  return (note) => !known.has(note);
}

test('a running status goes on behind a meta event, as midi-file reads it, and stands written', () => {
  const events = [0, 0x90, 60, 64, 0, ...text(6, 'A'), 10, 62, 64, 0, 0xf0, 2, 1, 0xf7, 10, 60, 0];
  const bytes = file(0, 96, rawTrack(...events));
  const { mended, chunks } = good(bytes);
  expect(mended).toEqual({ skipped: 0, overdue: 2, isUnwrapped: false });
  expect(notesOf({ chunks } as MidiFile)).toEqual(notesByMidiFile(bytes));
  const again = file(0, 96, ...chunks.map(({ whole }) => whole));
  expect(good(again).mended.overdue).toBe(0);
});

describe('inside a RIFF file (RP-029)', () => {
  const plain = file(0, 96, track([0, 0x90, 60, 64], [96, 0x80, 60, 64]));
  const ascii = (words: string) => [...words].map((letter) => letter.charCodeAt(0));
  const little = (value: number) => [value & 0xff, value >> 8, 0, 0];
  const chunk = (name: string, data: ArrayLike<number>) => [
    ...ascii(name),
    ...little(data.length),
    ...Array.from(data),
    ...(data.length % 2 === 1 ? [0] : []),
  ];
  const riff = (type: string, ...chunks: number[][]) =>
    Uint8Array.from(chunk('RIFF', [...ascii(type), ...chunks.flat()]));

  test('the file is found, whatever stands before and behind it', () => {
    const info = chunk('DISP', [1, 2, 3]);
    for (const bytes of [
      riff('RMID', chunk('data', plain)),
      riff('RMID', info, chunk('data', plain), info),
    ]) {
      const found = good(bytes);
      expect(found.mended.isUnwrapped).toBe(true);
      expect(found.header).toEqual(plain.subarray(0, 14));
      expect(notesOf(found)).toEqual(notesByMidiFile(plain));
    }
  });

  test('a RIFF file of something else, or without MIDI data, is refused', () => {
    for (const [bytes, words] of [
      [riff('WAVE', chunk('data', plain)), 'does not begin with MThd'],
      [riff('RMID', chunk('DISP', plain)), 'a RIFF file without MIDI data'],
      [riff('RMID', chunk('data', [1, 2])), 'does not begin with MThd'],
    ] as const) {
      expect(readMidiFile(bytes)).toMatchObject({
        ok: false,
        problem: expect.stringContaining(words),
      });
    }
  });
});
