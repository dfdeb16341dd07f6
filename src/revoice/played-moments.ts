/**
 * The moments of a part, played to the engine at the file's own times, and what it makes of them: what
 * passes unchanged keeps its bytes and tick, all else is written. Ticks are the file's, times
 * microseconds.
 */
import { createEngine } from '../live/engine.ts';
import type { Engine, Setup } from '../live/engine-api.ts';
import type { FileKnowledge } from '../live/file-knowledge.ts';
import type { ChordReport } from '../live/snapshot.ts';
import { encode } from '../midi/encode.ts';
import type { Message } from '../midi/message.ts';
import type { TempoMap } from '../midi/tempo-map.ts';
import { plainPlaying, playingOf } from '../presets/playing.ts';
import { createBrokenKeys } from './broken-keys.ts';
import type { FileLeadSheet } from './lead-sheet.ts';
import {
  type Emit,
  type Event,
  isOnset,
  isSame,
  type NoteOn,
  onceEach,
  sendMoment,
  withRestruck,
} from './moment.ts';
import type { Queue } from './queue.ts';

export type MakeEngine = (setup: Setup, known: FileKnowledge) => Engine;

/** 'together': at the first note of the strum. 'alike': spread over the time the strum takes. */
export const rolledManners = ['together', 'alike'] as const;
export type Rolled = (typeof rolledManners)[number];

export type PlayedOptions = {
  readonly setup: Setup;
  readonly tempo: TempoMap;
  /** Absent: only what is read counts, as in a rehearsal, and nothing is written. */
  readonly emit?: Emit | undefined;
  /** Another engine, for tests and for other ways of leading. */
  readonly createEngine?: MakeEngine;
  /** How the voices of a strummed or rolled chord begin; absent: together. */
  readonly rolled?: Rolled | undefined;
  /** The chord symbols of the file, where they are believed. */
  readonly leadSheet?: FileLeadSheet | undefined;
  /** `atMicroseconds` counts from the beginning of the file. */
  readonly onReport?: ((report: ChordReport, tick: number) => void) | undefined;
};

export type PlayedMoments = {
  /** One event by itself, unless it has been played with others. */
  readonly play: (event: Event | NoteOn) => void;
  /** `isBroken`: one after the other, as a broken chord. */
  readonly playTogether: (all: readonly NoteOn[], isBroken?: boolean) => void;
  /** Rolled voices whose time lies before `at`. */
  readonly catchUp: (at: number) => void;
  /** Everything that still sounds ends. */
  readonly end: (tick: number) => void;
  /** Moments at which something else sounded than what the file has. */
  readonly voiced: () => number;
  /** So many of them were read from chord symbols. */
  readonly fromSymbols: () => number;
};

/**
 * The setup with the waiting taken out, and the roll where that of the file is kept. The parts of a
 * file have been told apart by then.
 */
function forFiles(setup: Setup, rolled: Rolled): Setup {
  const { preset } = setup;
  const gathering = { ...preset.gathering, mode: 'at-once' } as const;
  const hands = { ...plainPlaying.hands, parts: 'off', channels: 'merged' } as const;
  const own = playingOf(preset);
  const roll = rolled === 'together' ? own.roll : { ...own.roll, milliseconds: 0 };
  const playing = { ...own, hands, roll };
  return { ...setup, preset: { ...preset, gathering, playing } };
}

/** The engine for one part, with its reports, and the count of what it made anew. */
function createPartEngine(options: PlayedOptions) {
  const { setup, tempo, onReport, leadSheet, rolled = 'together' } = options;
  const emit = options.emit ?? (() => {});
  const known = { leadSheet, areMomentsWhole: true };
  const engine = (options.createEngine ?? createEngine)(forFiles(setup, rolled), known);
  let reached = 0;
  let voiced = 0;
  let fromSymbols = 0;
  return {
    engine,
    emit,
    /** Something else sounded than what the file has. */
    countVoiced(): void {
      voiced += 1;
      if (leadSheet?.isFollowed() === true) fromSymbols += 1;
    },
    voiced: () => voiced,
    fromSymbols: () => fromSymbols,
    report(tick: number, at: number): void {
      if (onReport === undefined) return;
      for (const each of engine.takeReports()) onReport({ ...each, atMicroseconds: at }, tick);
    },
    /** The playing has come to this tick. */
    reach(tick: number): void {
      reached = tick;
    },
    catchUp(at: number): void {
      for (let due = engine.deadline(); due !== undefined && due < at; due = engine.deadline()) {
        const tick = Math.max(reached, tempo.tickAt(due));
        for (const message of engine.advance(due)) emit(tick, encode(message));
      }
    },
  };
}

/** `queue`: what of the part has not been played yet. */
export function createPlayedMoments(
  options: PlayedOptions,
  queue: Queue<Event | NoteOn>,
): PlayedMoments {
  const { tempo, leadSheet, rolled = 'together' } = options;
  const part = createPartEngine(options);
  const { engine, emit, catchUp } = part;
  const brokenKeys = createBrokenKeys(emit);

  const playOther = (event: Event): void => {
    catchUp(event.at);
    part.reach(event.tick);
    leadSheet?.turnTo(event.at);
    let isVoiced = false;
    for (const message of engine.receive(event.message, event.at, event.source)) {
      const isOwn = isSame(message, event.message);
      emit(event.tick, isOwn ? event.bytes : encode(message));
      isVoiced ||= !isOwn && message.type === 'noteOn';
    }
    if (isVoiced) part.countVoiced();
    part.report(event.tick, event.at);
  };

  const feed = (events: readonly Event[], at: number): readonly Message[] => {
    const out: Message[] = [];
    for (const event of events) {
      event.isPlayed = true;
      if (brokenKeys.passesOver(event)) continue;
      for (const message of engine.receive(event.message, at, event.source)) out.push(message);
    }
    for (const message of engine.advance(at + 1)) out.push(message);
    return out;
  };

  const playTogether = (all: readonly NoteOn[], isBroken = false): void => {
    const events = isBroken ? onceEach(all) : all;
    const [first] = events;
    if (first === undefined) return;
    const { at, tick } = first;
    catchUp(at);
    leadSheet?.turnTo(at);
    const played = isBroken ? events : withRestruck(events, queue);
    const out = feed(played, at);
    const over = rolled === 'alike' && !isBroken ? events : [first];
    const isVoiced = options.emit !== undefined && sendMoment(played, out, over, emit);
    if (isVoiced) part.countVoiced();
    if (isBroken) brokenKeys.hold(all, isVoiced);
    part.reach(tick);
    part.report(tick, at);
  };

  return {
    play(event) {
      if (event.isPlayed) return;
      if (isOnset(event)) playTogether([event]);
      else if (!brokenKeys.passesOver(event)) playOther(event);
    },
    playTogether,
    catchUp,
    voiced: part.voiced,
    fromSymbols: part.fromSymbols,
    end(tick) {
      const at = Math.round(tempo.microsecondsAt(tick));
      catchUp(at);
      for (const message of engine.letGo(at)) {
        if (message.type === 'noteOff') emit(tick, encode(message));
      }
      part.report(tick, at);
    },
  };
}
