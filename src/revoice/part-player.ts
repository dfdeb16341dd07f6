/**
 * One part of a file, played through the engine at the file's own times. On stage a chord is waited
 * for; in a file one can look ahead: notes that begin within the preset's gathering time reach the
 * engine as one moment, when the last of them begins, and nothing is ever late.
 *
 * What the engine passes on unchanged keeps its own bytes and tick, so that everything that is no
 * chord comes out as it went in. Ticks are the file's, times microseconds.
 */
import { createEngine } from '../live/engine.ts';
import type { Engine, Setup } from '../live/engine-api.ts';
import type { Foreknowledge } from '../live/foreknowledge.ts';
import type { ChordReport } from '../live/snapshot.ts';
import { createDecoder } from '../midi/decode.ts';
import { encode } from '../midi/encode.ts';
import type { Message } from '../midi/message.ts';
import type { TempoMap } from '../midi/tempo-map.ts';
import { plainPlaying } from '../presets/playing.ts';
import type { FileLeadSheet } from './lead-sheet.ts';

export type MakeEngine = (setup: Setup, known: Foreknowledge) => Engine;

export type Emit = (tick: number, bytes: ArrayLike<number>) => void;

export type PartOptions = {
  readonly setup: Setup;
  readonly tempo: TempoMap;
  readonly emit: Emit;
  /** Another engine, for tests and for other ways of leading. */
  readonly createEngine?: MakeEngine;
  /** The chord symbols of the file, where they are believed. */
  readonly leadSheet?: FileLeadSheet | undefined;
  /** `atMicroseconds` counts from the beginning of the file. */
  readonly onReport?: ((report: ChordReport, tick: number) => void) | undefined;
};

export type PartPlayer = {
  /** One channel event of this part, in the order of the track. */
  readonly take: (tick: number, bytes: ArrayLike<number>) => void;
  /** The track has come to this tick, with events of others. */
  readonly reach: (tick: number) => void;
  /** Ticks before this one are settled. */
  readonly settledBefore: () => number;
  /** Moments at which something else sounded than what the file has. */
  readonly voiced: () => number;
  /** So many of them were read from chord symbols. */
  readonly fromSymbols: () => number;
  /** The part is over: everything it let sound ends here. */
  readonly end: (tick: number) => void;
};

type Waiting = {
  readonly tick: number;
  readonly at: number;
  readonly bytes: ArrayLike<number>;
  readonly message: Message;
  readonly source: number;
};

/** In the engine's milliseconds: as short as can be, since the moment is complete when it comes. */
const noWaiting = 0.001;
const sources = 16;

/** The setup with the waiting taken out. The parts of a file have been told apart by then. */
function forFiles(setup: Setup): Setup {
  const gathering = { mode: 'fixed', ceilingMilliseconds: noWaiting } as const;
  const hands = { ...plainPlaying.hands, parts: 'off', channels: 'merged' } as const;
  const playing = { ...setup.preset.playing, hands };
  return { ...setup, preset: { ...setup.preset, gathering, playing } };
}

export function createPartPlayer(options: PartOptions): PartPlayer {
  const { setup, tempo, emit, onReport, leadSheet } = options;
  const engine = (options.createEngine ?? createEngine)(forFiles(setup), { leadSheet });
  const gather = setup.preset.gathering.ceilingMilliseconds * 1000;
  const decoder = createDecoder();
  const voices = createSources();
  let moment: Waiting[] = [];
  let firstOnset = 0;
  let lastOnset = 0;
  /** Keys of the moment, channel and note in one number. */
  let keys = new Set<number>();
  let reached = 0;
  let voiced = 0;
  let fromSymbols = 0;

  const countVoiced = (): void => {
    voiced += 1;
    if (leadSheet?.isFollowed() === true) fromSymbols += 1;
  };

  const report = (tick: number, at: number): void => {
    if (onReport === undefined) return;
    for (const each of engine.takeReports()) onReport({ ...each, atMicroseconds: at }, tick);
  };

  /** Rolled voices whose time lies before `at`. */
  const catchUp = (at: number): void => {
    for (let due = engine.deadline(); due !== undefined && due < at; due = engine.deadline()) {
      const tick = Math.max(reached, tempo.tickAt(due));
      for (const message of engine.advance(due)) emit(tick, encode(message));
    }
  };

  const playOne = (event: Waiting): void => {
    catchUp(event.at);
    reached = event.tick;
    leadSheet?.turnTo(event.at);
    let isVoiced = false;
    for (const message of engine.receive(event.message, event.at, event.source)) {
      const isOwn = isSame(message, event.message);
      emit(event.tick, isOwn ? event.bytes : encode(message));
      isVoiced ||= !isOwn && message.type === 'noteOn';
    }
    if (isVoiced) countVoiced();
    report(event.tick, event.at);
  };

  const playMoment = (): void => {
    const events = moment;
    moment = [];
    keys = new Set();
    const end = events.findLast((event) => event.message.type === 'noteOn');
    if (end === undefined) return;
    const count = events.indexOf(end) + 1;
    const together = events.slice(0, count);
    catchUp(end.at);
    leadSheet?.turnTo(end.at);
    const out: Message[] = [];
    for (const { message, source } of together)
      out.push(...engine.receive(message, end.at, source));
    out.push(...engine.advance(end.at + 1));
    if (sendMoment(together, out, end.tick, emit)) countVoiced();
    reached = end.tick;
    report(end.tick, end.at);
    for (const event of events.slice(count)) playOne(event);
  };

  const openMoment = (event: Waiting): void => {
    if (moment.length === 0) {
      firstOnset = event.at;
      catchUp(event.at);
    }
    lastOnset = event.at;
    keys.add(keyOf(event.message));
    moment.push(event);
  };

  const isOver = (at: number): boolean => moment.length > 0 && at - firstOnset > gather;

  return {
    take(tick, bytes) {
      const at = Math.round(tempo.microsecondsAt(tick));
      for (const message of decoder.push(bytes)) {
        const event = { tick, at, bytes, message, source: voices.sourceOf(message) };
        // A key of the moment that comes up, or is struck again, has been meant as it was.
        if (isOver(at) || (isNote(message) && keys.has(keyOf(message)))) playMoment();
        if (message.type === 'noteOn') openMoment(event);
        else if (moment.length > 0 && at <= lastOnset + gather) moment.push(event);
        else playOne(event);
      }
    },
    reach(tick) {
      const at = Math.round(tempo.microsecondsAt(tick));
      if (isOver(at)) playMoment();
      if (moment.length === 0) catchUp(at);
    },
    voiced: () => voiced,
    fromSymbols: () => fromSymbols,
    settledBefore: () => moment[0]?.tick ?? Number.POSITIVE_INFINITY,
    end(tick) {
      playMoment();
      const at = Math.round(tempo.microsecondsAt(tick));
      catchUp(at);
      for (const message of engine.letGo(at)) {
        if (message.type === 'noteOff') emit(tick, encode(message));
      }
      report(tick, at);
    },
  };
}

/**
 * A moment that was no chord keeps its ticks and bytes; a chord stands where its last note began.
 * Returns whether it was one.
 */
function sendMoment(
  events: readonly Waiting[],
  out: readonly Message[],
  tick: number,
  emit: Emit,
): boolean {
  const left = [...events];
  const sent = out.map((message) => {
    const place = left.findIndex((event) => isSame(event.message, message));
    return { message, event: place < 0 ? undefined : left.splice(place, 1)[0] };
  });
  const isUnvoiced =
    left.every((event) => event.message.type !== 'noteOn') &&
    sent.every(({ message, event }) => message.type !== 'noteOn' || event !== undefined);
  let after = events[0]?.tick ?? tick;
  for (const { message, event } of sent) {
    const isKept = event !== undefined && (isUnvoiced || !isNote(message));
    if (!isKept) {
      emit(isUnvoiced ? after : tick, encode(message));
      continue;
    }
    after = event.tick;
    emit(after, event.bytes);
  }
  return !isUnvoiced;
}

type NoteMessage = Extract<Message, { type: 'noteOn' | 'noteOff' }>;

function isNote(message: Message): message is NoteMessage {
  return message.type === 'noteOn' || message.type === 'noteOff';
}

function keyOf(message: Message): number {
  return 'note' in message ? message.channel * 128 + message.note : -1;
}

/** Field by field; SysEx never comes here. */
function isSame(one: Message, other: Message): boolean {
  if (one === other) return true;
  if (one.type !== other.type) return false;
  // Most of what comes here, and encoding costs more than the rest together.
  if (isNote(one) && isNote(other)) {
    return (
      one.channel === other.channel && one.note === other.note && one.velocity === other.velocity
    );
  }
  const [first, second] = [encode(one), encode(other)];
  return first.every((byte, place) => byte === second[place]);
}

/**
 * Two notes of one pitch may overlap in a file; for the engine they are keys of two keyboards. The
 * first that began is the first to end.
 */
function createSources(): { readonly sourceOf: (message: Message) => number } {
  const open = new Map<number, number[]>();
  return {
    sourceOf(message) {
      if (!isNote(message)) return 0;
      const key = keyOf(message);
      const sounding = open.get(key) ?? [];
      if (message.type === 'noteOff') return sounding.shift() ?? 0;
      open.set(key, sounding);
      let source = 0;
      while (source < sources - 1 && sounding.includes(source)) source += 1;
      sounding.push(source);
      return source;
    },
  };
}
