/**
 * Listens to the engine while a simulated pianist plays: how long after the last key of each chord
 * it was sent, and whether anything had to be corrected. Judged from outside, by what was sent and
 * when: a chord needed a correction when any note was sent before its last key was down, or when it
 * was sent more than once.
 */
import { createEngine } from '../../../src/live/engine.ts';
import type { Engine, Setup } from '../../../src/live/engine-api.ts';
import type { Message } from '../../../src/midi/message.ts';
import type { KeyStroke, Performance, PlayedChord } from './pianist.ts';

export type Heard = {
  readonly chord: PlayedChord;
  /** Microseconds from the last key to the chord being sent; absent when it never was. */
  readonly wait?: number;
  readonly wasCorrected: boolean;
};

export type Listening = {
  readonly heard: readonly Heard[];
  /** What gathering has learned at the end. */
  readonly learned: { readonly keys: number; readonly spreadMicroseconds: number };
};

type Sending = {
  readonly at: number;
  readonly hasNotes: boolean;
  readonly chords: readonly string[];
};

function messageOf({ isDown, note, velocity }: KeyStroke): Message {
  return isDown
    ? { type: 'noteOn', channel: 0, note, velocity }
    : { type: 'noteOff', channel: 0, note, velocity: 64 };
}

function nameOf(notes: readonly number[]): string {
  return [...notes].sort((one, other) => one - other).join(' ');
}

function sendingsOf(engine: Engine, strokes: readonly KeyStroke[]): Sending[] {
  const sendings: Sending[] = [];
  const note = (at: number, messages: readonly Message[]): void => {
    const chords = engine
      .takeReports()
      .map((report) => nameOf(report.heard.notes.map((each) => each.note)));
    const hasNotes = messages.some((message) => message.type === 'noteOn');
    if (hasNotes || chords.length > 0) sendings.push({ at, hasNotes, chords });
  };
  const pass = (until: number): void => {
    for (let due = engine.deadline(); due !== undefined && due <= until; due = engine.deadline()) {
      note(due, engine.advance(due));
    }
  };
  for (const stroke of strokes) {
    // A chord that is due as the next key falls is sent first, as a shell would.
    pass(stroke.at);
    note(stroke.at, engine.receive(messageOf(stroke), stroke.at));
  }
  pass(Number.MAX_SAFE_INTEGER);
  return sendings;
}

function judge(chord: PlayedChord, sendings: readonly Sending[]): Heard {
  const right = sendings.find(({ chords }) => chords.at(-1) === nameOf(chord.notes));
  const isEarly = sendings.some(({ at, hasNotes }) => hasNotes && at < chord.lastAt);
  const isSentTwice = sendings.filter(({ hasNotes }) => hasNotes).length > 1;
  const wasCorrected = isEarly || isSentTwice || right === undefined;
  if (right === undefined) return { chord, wasCorrected };
  return { chord, wait: right.at - chord.lastAt, wasCorrected };
}

export function listen(setup: Setup, { chords, strokes }: Performance): Listening {
  const engine = createEngine(setup);
  const sendings = sendingsOf(engine, strokes);
  let next = 0;
  const heard = chords.map((chord, place) => {
    const end = chords[place + 1]?.firstAt ?? Number.POSITIVE_INFINITY;
    const from = next;
    while ((sendings[next]?.at ?? Number.POSITIVE_INFINITY) < end) next += 1;
    return judge(chord, sendings.slice(from, next));
  });
  return { heard, learned: engine.snapshot().learned };
}
