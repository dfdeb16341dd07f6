/** A melody with chord symbols and no chords: the symbols are voiced on a track of their own. */
import { describe, expect, test } from 'vitest';
import { readMidiFile } from '../../src/midi/read-midi-file.ts';
import { type RevoiceOptions, revoiceMidiFile } from '../../src/revoice/revoice.ts';
import { type Event, eventsByMidiFile, file, text, track } from '../midi/smf.ts';
import { setupWith } from './voices.ts';

const division = 480;
const bar = division * 4;

type Note = { readonly on: number; readonly off: number; readonly note: number };
type Read = Readonly<Record<string, number | string>>;

function voiced(
  bytes: Uint8Array,
  preset = 'fourths-over-root',
  more: Partial<RevoiceOptions> = {},
) {
  const read = readMidiFile(bytes);
  if (!read.ok) throw new Error(read.problem);
  const heard: string[] = [];
  const setup = setupWith(preset);
  const onReport: RevoiceOptions['onReport'] = ({ report }) => heard.push(report.heard.symbol);
  const steps = revoiceMidiFile(read.value, { setup, onReport, ...more });
  let step = steps.next();
  while (step.done !== true) step = steps.next();
  return { result: step.value, heard };
}

function notesOf(events: readonly unknown[]): readonly Note[] {
  const notes: { on: number; off: number; note: number }[] = [];
  for (const { type, tick, noteNumber } of events as readonly Read[]) {
    if (type === 'noteOn') notes.push({ on: Number(tick), off: -1, note: Number(noteNumber) });
    if (type !== 'noteOff') continue;
    const begun = notes.find(({ note, off }) => note === noteNumber && off < 0);
    if (begun !== undefined) begun.off = Number(tick);
  }
  return notes;
}

/** A tune of single notes, a note to the bar, on channel 1. */
function melody(notes: readonly number[]): Event[] {
  return notes.flatMap((note, place): Event[] => [
    [place * bar, 0x90, note, 80],
    [(place + 1) * bar - 10, 0x80, note, 64],
  ]);
}

function withSymbols(words: readonly string[], notes: readonly number[], kind = 0x06): Event[] {
  const marks = words.map((symbol, place): Event => [place * bar, ...text(kind, symbol)]);
  return [...marks, ...melody(notes)].sort(([one], [other]) => one - other);
}

const tune = [77, 74, 76, 79, 72];
const symbols = ['Dm7', 'G7', 'Cmaj7', 'N.C.', 'Am7/G'];

describe.each([
  ['marker', 0x06],
  ['text', 0x01],
  ['lyric', 0x05],
])('written as %ss', (_, kind) => {
  const before = file(0, division, track(...withSymbols(symbols, tune, kind)));

  test('sound from symbol to symbol, the melody stays, and what sounds is named', () => {
    for (const leading of ['live', 'best'] as const) {
      const { result, heard } = voiced(before, 'fourths-over-root', { leading });
      if (!result.ok) throw new Error(result.problem);
      expect(heard).toEqual(['Dm7', 'G7', 'Cmaj7', 'Am7/G']);
      const { bytes, isAdded, written, harmony } = result.value;
      expect([isAdded, written, harmony.upper.channel]).toEqual([true, [2], 1]);
      expect([...bytes.slice(8, 12)]).toEqual([0, 1, 0, 2]);
      const [melodyTrack, own = []] = eventsByMidiFile(bytes);
      expect(melodyTrack).toEqual(eventsByMidiFile(before)[0]);
      const notes = notesOf(own);
      expect([...new Set(notes.map(({ on }) => on))]).toEqual([0, bar, 2 * bar, 4 * bar]);
      for (const { on, off } of notes) expect(off).toBe(on === 4 * bar ? 5 * bar : on + bar);
      const basses = [0, 1, 2, 4].map((place) =>
        Math.min(...notes.filter(({ on }) => on === place * bar).map(({ note }) => note)),
      );
      expect(basses.map((note) => note % 12)).toEqual([2, 7, 0, 7]);
      const texts = (own as readonly Read[]).filter(({ type }) => type === 'text');
      expect(texts.map(({ tick }) => tick)).toEqual([0, bar, 2 * bar, 4 * bar]);
      for (const [place, root] of ['D', 'G', 'C', 'A'].entries()) {
        expect(String(texts[place]?.['text'])).toMatch(new RegExp(`^${root}`));
      }
    }
  });
});

test('the voiced file is read back as it was written', () => {
  const before = file(0, division, track(...withSymbols(symbols, tune)));
  const { result } = voiced(before);
  const again = result.ok ? voiced(result.value.bytes, 'drop-2-sevenths') : undefined;
  expect(again?.heard).toEqual(['Dm7', 'G7', 'Cmaj7', 'Am7/G']);
  expect(again?.result.ok && again.result.value.isAdded).toBe(false);
});

test('a chord of two tones stays one', () => {
  const before = file(1, division, track(...withSymbols(['C5', 'G7', 'Am', 'F5'], tune)));
  const { result } = voiced(before);
  const notes = notesOf(result.ok ? (eventsByMidiFile(result.value.bytes)[1] ?? []) : []);
  const classesAt = (place: number) =>
    new Set(notes.filter(({ on }) => on === place * bar).map(({ note }) => note % 12));
  expect([classesAt(0), classesAt(3)]).toEqual([new Set([0, 7]), new Set([5, 0])]);
  expect(classesAt(1).size).toBeGreaterThan(2);
});

test('letters are chords where the melody agrees with them, and sections where it does not', () => {
  const letters = ['C', 'F', 'G', 'C', 'F'];
  const agreeing = file(0, division, track(...withSymbols(letters, [72, 77, 74, 76, 72])));
  expect(voiced(agreeing).heard).toEqual(letters);
  const other = file(0, division, track(...withSymbols(['A', 'B', 'C', 'A', 'B'], tune)));
  expect(voiced(other).result.ok).toBe(false);
});

test('on asking the symbols are left out, and it is said', () => {
  const before = file(0, division, track(...withSymbols(symbols, tune)));
  const { result } = voiced(before, 'close-as-played', { ignoresSymbols: true });
  expect(result.ok ? '' : result.problem).toContain('left out by --ignore-symbols');
});
