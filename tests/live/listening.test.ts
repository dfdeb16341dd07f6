/**
 * Listening: what hands play passes as it is, and is called what `analyse` calls it afterwards; no note
 * hangs however listening is turned on and off under held keys.
 */
import { describe, expect, test } from 'vitest';
import { nameBest } from '../../src/harmony/naming/naming.ts';
import { parseNote } from '../../src/harmony/pitch/pitch-name.ts';
import { createEngine } from '../../src/live/engine.ts';
import type { Engine } from '../../src/live/engine-api.ts';
import { playedReport } from '../../src/live/listening/played-report.ts';
import type { ChordReport } from '../../src/live/snapshot.ts';
import { createDecoder } from '../../src/midi/decode.ts';
import type { Message } from '../../src/midi/message.ts';
import { eventsOf } from '../../src/midi/read-midi-file.ts';
import { tempoMapOf } from '../../src/midi/tempo-map.ts';
import { analysisOf, type Humanised, midiOf, played, voicedBy } from '../analyse/own-passages.ts';
import { plainPreset, shippedPreset } from './play.ts';

type Timed = { readonly at: number; readonly message: Message };

function messagesOf(bytes: Uint8Array): readonly Timed[] {
  const file = midiOf(bytes);
  const tempo = tempoMapOf(file);
  return file.chunks
    .flatMap((chunk) => (chunk.isTrack ? [...eventsOf(chunk)] : []))
    .filter((event) => (event.bytes[0] ?? 0) < 0xf0)
    .map(({ tick, bytes: own }) => ({
      at: Math.round(tempo.microsecondsAt(tick)),
      message: createDecoder().push(Array.from(own))[0] as Message,
    }))
    .sort((one, other) => one.at - other.at);
}

function performed(engine: Engine, performance: readonly Timed[]) {
  const sent: Message[] = [];
  const reports: ChordReport[] = [];
  for (const { at, message } of performance) {
    for (let due = engine.deadline(); due !== undefined && due < at; due = engine.deadline()) {
      sent.push(...engine.advance(due));
      reports.push(...engine.takeReports());
    }
    sent.push(...engine.receive(message, at));
    reports.push(...engine.takeReports());
  }
  const end = (performance.at(-1)?.at ?? 0) + 2_000_000;
  sent.push(...engine.advance(end));
  reports.push(...engine.takeReports());
  return { sent, reports };
}

function listening(key: string): Engine {
  const engine = createEngine({ preset: plainPreset, key });
  engine.listen(true, 0);
  return engine;
}

const keys = ['Eb', 'D', 'Am', 'Bb', 'F#m', 'C'];
const notesOf = ({ sent }: ChordReport): string => sent.voices.map(({ note }) => note).join(' ');

function compared(id: string, place: number, how: Humanised) {
  const bytes = played(voicedBy(shippedPreset(id), place), { ...how, seed: place + 5 });
  const { reports } = performed(listening(keys[place] ?? 'C'), messagesOf(bytes));
  const chords = analysisOf(bytes).chords;
  let next = 0;
  const pairs = chords.map((chord) => {
    const notes = chord.notes.map(({ midi }) => midi).join(' ');
    const found = reports.findIndex((each, index) => index >= next && notesOf(each) === notes);
    if (found >= 0) next = found;
    return { chord, report: reports[found] };
  });
  return { pairs, reports };
}

const plainly: Humanised = { seed: 0 };
const byOnePlayer: Humanised = { seed: 0, isOnePart: true, hasPedal: true, hasDoubledBass: true };

test('is called what an analysis calls it, chord by chord', () => {
  let all = 0;
  let alike = 0;
  for (const how of [plainly, byOnePlayer]) {
    for (const [place, id] of ['fourths-over-root', 'drop-2-sevenths', 'hybrid-major'].entries()) {
      const { pairs, reports } = compared(id, place, how);
      // One line a chord: no fragments of it.
      expect(reports.length).toBeLessThanOrEqual(pairs.length + 2);
      for (const { chord, report } of pairs) {
        all += 1;
        const degrees = report?.sent.voices.map(({ degree }) => degree).join(' ');
        const isAlike =
          report?.sent.symbol === chord.symbol &&
          report.sent.technique === chord.technique &&
          report.played?.span === chord.span &&
          degrees === chord.notes.map((note) => note.degree).join(' ');
        if (isAlike) alike += 1;
      }
    }
  }
  expect(all).toBeGreaterThan(90);
  expect(alike / all).toBeGreaterThan(0.95);
});

test('two voices over a bass a tenth below are open or a shell, whatever stood before', () => {
  const close = [
    [36, 52, 55, 60],
    [41, 53, 57, 60],
    // A triad on the octave of its bass is one.
    [43, 55, 59, 62],
  ];
  const calledAfter = (notes: readonly number[]) => {
    const row = [...close, notes].map((each) => {
      const { chord } = nameBest(each, { hasBass: true });
      return { notes: each, chord, isTold: false };
    });
    return row.map((_, place) => playedReport(row.slice(0, place + 1), undefined, []).sent);
  };
  // C E B and C# E B are shells with the tenth (definition), A E B is a stack of fifths.
  for (const [notes, technique, label] of [
    [[36, 52, 59], 'shell', 'shell, R-3-7'],
    [[37, 52, 59], 'shell', 'shell, R-3-7'],
    [[45, 52, 59], 'fifths', 'three-part fifths'],
    [[36, 52, 55], 'open', 'open position'],
  ] as const) {
    const sent = calledAfter(notes);
    expect(sent.slice(0, 3).map((each) => each.technique)).toEqual(['close', 'close', 'close']);
    expect(sent.at(-1)).toMatchObject({ technique, label });
  }
});

test('over thirds throughout, and without roots, a row of chords tells what one does not', () => {
  for (const [id, place] of [
    ['fourths-over-third', 5],
    ['rootless-hand', 3],
  ] as const) {
    const { pairs } = compared(id, place, plainly);
    const late = pairs.slice(-6);
    const named = late.filter(({ chord, report }) => report?.sent.symbol === chord.symbol);
    expect(named.length, id).toBeGreaterThanOrEqual(4);
  }
});

test('a melody over a held chord makes no chord of its own, a finger that stays within it does', () => {
  const { lines } = hold('C3 G3 B3 E4')('+F5 -F5 +G5 -G5');
  expect(lines).toEqual(['Cmaj7']);
  expect(hold('C3 G3 B3 F4')('-F4 +E4').lines).toEqual(['Cmaj7sus4', 'Cmaj7']);
  expect(hold('C4 E4 G4')('+Bb2').lines).toEqual(['C', 'C7/Bb']);
  // Struck with the chord and far above it, it is a melody as well.
  expect(hold('C3 G3 B3 E4 G5')('-G5 +A5').lines).toEqual(['Cmaj7']);
  // A trill is none.
  expect(hold('C3 G3 B3 E4')('+A3 -A3').lines).toEqual(['Cmaj7']);
});

test('a chord broken over the pedal is one chord, and keys on their way up are none of the next', () => {
  const { engine, lines, step } = hold('');
  step('pedal 127');
  for (const note of ['C3', 'G3', 'E4', 'B4'])
    for (const each of ['+', '-']) step(`${each}${note}`);
  expect(engine.snapshot().chords.map(({ sent }) => sent.symbol)).toEqual(['Cmaj7']);
  step('pedal 0');
  expect(engine.snapshot().isChordSounding).toBe(false);
  lines.length = 0;
  const over = hold('C3 G3 E4');
  over.together('+F3 +A3 +D4');
  const last = () => over.engine.snapshot().chords.at(-1)?.sent.symbol;
  // All keys of the one before are still down, among its own: none of them is meant.
  expect(last()).toBe('Dm/F');
  over.together('-C3 -G3 -E4');
  expect(last()).toBe('Dm/F');
  // Of two hands one lies above the other.
  const hands = hold('C3 E3 Bb3');
  hands.together('+D4 +F#4 +A4');
  expect(hands.engine.snapshot().chords.at(-1)?.sent.voices).toHaveLength(6);
});

describe('no note hangs and none is revoiced', () => {
  test('what is played passes as it is: notes, pedals, and what is no note', () => {
    const bytes = played(voicedBy(shippedPreset('spread-tenths'), 1), byOnePlayer);
    const performance = messagesOf(bytes);
    const preset = {
      ...plainPreset,
      playing: {
        ...shippedPreset('drop-2-sevenths').playing,
        zone: { lowest: 60, highest: 72 },
        channels: { layout: 'per-voice' as const, first: 3 },
        latch: true,
      },
    };
    const engine = createEngine({ preset });
    engine.listen(true, 0);
    const { sent } = performed(engine, performance);
    expect(sent).toEqual(performance.map(({ message }) => message));
  });

  test('turned on and off under held keys, chords end with their keys, latched ones at once', () => {
    const latched = { ...plainPreset, playing: { latch: true } };
    for (const preset of [plainPreset, latched]) {
      const engine = createEngine({ preset, key: 'C' });
      const { count, counts } = createCount();
      const on = (type: 'noteOn' | 'noteOff', notes: readonly number[], at: number) => {
        for (const note of notes) {
          count(engine.receive({ type, channel: 0, note, velocity: 80 }, at));
        }
        count(engine.advance(at + 400_000));
      };
      const sounding = () => [...counts].filter(([, times]) => times > 0).map(([note]) => note);
      on('noteOn', [60, 64, 67], 0);
      expect(sounding().length).toBeGreaterThan(3);
      count(engine.listen(true, 1_000_000));
      on('noteOn', [50, 57, 65], 2_000_000);
      on('noteOff', [60, 64, 67], 3_000_000);
      expect(sounding().sort()).toEqual([50, 57, 65]);
      count(engine.listen(false, 4_000_000));
      on('noteOn', [72, 76, 79], 5_000_000);
      expect(sounding()).not.toContain(79);
      on('noteOff', [50, 57, 65, 72, 76, 79], 6_000_000);
      count(engine.panic(8_000_000));
      expect([...counts.values()].every((times) => times === 0)).toBe(true);
    }
  });

  test('what is turned to says why nothing is; a preset that is chosen waits', () => {
    const { engine } = hold('C3 G3 B3 E4');
    engine.choose({ turn: 'voicing', by: 1 }, 9_000_000);
    expect(engine.snapshot().said?.sentences.at(-1)).toContain('Nothing is revoiced');
    engine.change({ preset: shippedPreset('drop-2-sevenths') }, 10_000_000);
    expect(engine.snapshot().isListening).toBe(true);
  });
});

/** Of each note how often it sounds. */
function createCount() {
  const counts = new Map<number, number>();
  const count = (out: readonly Message[]) => {
    for (const message of out) {
      if (message.type !== 'noteOn' && message.type !== 'noteOff') continue;
      const change = message.type === 'noteOn' ? 1 : -1;
      counts.set(message.note, (counts.get(message.note) ?? 0) + change);
    }
  };
  return { count, counts };
}

/** Held while it listens in C; each further word a quarter of a second later, '+E4' down and '-E4' up. */
function hold(notes: string) {
  const engine = listening('C');
  let now = 0;
  const messageOf = (word: string): Message => {
    const [kind = '', value = ''] = word.startsWith('pedal')
      ? word.split(' ')
      : [word[0], word.slice(1)];
    if (kind === 'pedal')
      return { type: 'controlChange', channel: 0, controller: 64, value: Number(value) };
    const note = parseNote(value) ?? 0;
    return { type: kind === '+' ? 'noteOn' : 'noteOff', channel: 0, note, velocity: 80 };
  };
  const step = (word: string) => {
    engine.receive(messageOf(word), now);
    now += 250_000;
    engine.advance(now);
  };
  const together = (words: string) => {
    for (const word of words.split(' ')) engine.receive(messageOf(word), now);
    now += 80_000;
    engine.advance(now);
  };
  if (notes !== '')
    together(
      notes
        .split(' ')
        .map((note) => `+${note}`)
        .join(' '),
    );
  now += 1_000_000;
  engine.advance(now);
  const lines: string[] = [];
  const then = (words: string) => {
    for (const word of words.split(' ')) step(word);
    engine.advance(now + 500_000);
    lines.push(...engine.takeReports().map(({ sent }) => sent.symbol));
    return { lines };
  };
  return Object.assign(then, { engine, lines, step, together });
}
