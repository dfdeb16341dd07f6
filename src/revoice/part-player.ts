/**
 * One part of a file, played through the engine at the file's own times. On stage a chord is waited
 * for; in a file one can look ahead: notes that are one gesture reach the engine as one moment, when
 * the first of them begins, and nothing is ever late.
 *
 * What the engine passes on unchanged keeps its own bytes and tick, so that everything that is no
 * chord comes out as it went in. Ticks are the file's, times microseconds.
 */
import { setOfNotes, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import { createEngine } from '../live/engine.ts';
import type { Engine, Setup } from '../live/engine-api.ts';
import type { FileKnowledge } from '../live/file-knowledge.ts';
import { endsNotes } from '../live/message-kinds.ts';
import type { ChordReport } from '../live/snapshot.ts';
import { createDecoder } from '../midi/decode.ts';
import { encode } from '../midi/encode.ts';
import type { Message } from '../midi/message.ts';
import type { TempoMap } from '../midi/tempo-map.ts';
import { plainPlaying, playingOf } from '../presets/playing.ts';
import { createBrokenKeys } from './broken-keys.ts';
import { createGestures, type MakeGestures } from './gestures.ts';
import type { FileLeadSheet } from './lead-sheet.ts';
import {
  type Emit,
  type Event,
  isOnset,
  isSame,
  keyOf,
  type NoteOn,
  onceEach,
  sendMoment,
  withRestruck,
} from './moment.ts';
import { createQueue } from './queue.ts';
import { createSources } from './sources.ts';

export type MakeEngine = (setup: Setup, known: FileKnowledge) => Engine;

/** 'together': at the first note of the strum. 'alike': spread over the time the strum takes. */
export const rolledManners = ['together', 'alike'] as const;
export type Rolled = (typeof rolledManners)[number];

export type PartOptions = {
  readonly setup: Setup;
  readonly tempo: TempoMap;
  /** Absent: only what is read counts, as in a rehearsal, and nothing is written. */
  readonly emit?: Emit | undefined;
  /** Another engine, for tests and for other ways of leading. */
  readonly createEngine?: MakeEngine;
  /** How the voices of a strummed or rolled chord begin; absent: together. */
  readonly rolled?: Rolled | undefined;
  /** Other gestures than those of a hand: of a whole bar. */
  readonly createGestures?: MakeGestures | undefined;
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

export function createPartPlayer(options: PartOptions): PartPlayer {
  const { setup, tempo, onReport, leadSheet, rolled = 'together' } = options;
  const emit = options.emit ?? (() => {});
  const known = { leadSheet, areMomentsWhole: true };
  const engine = (options.createEngine ?? createEngine)(forFiles(setup, rolled), known);
  const decoder = createDecoder();
  const voices = createSources();
  /** From the first note whose gesture is not sure yet. */
  const queue = createQueue<Event | NoteOn>();
  const brokenKeys = createBrokenKeys(emit);
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

  const playOther = (event: Event): void => {
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
    if (isVoiced) countVoiced();
    if (isBroken) brokenKeys.hold(all, isVoiced);
    reached = tick;
    report(tick, at);
  };

  /** Everything before the first note whose gesture is not sure. */
  const playQueue = (): void => {
    const unsure = gestures.first();
    for (
      let event = queue.first();
      event !== undefined && event !== unsure;
      event = queue.first()
    ) {
      if (!event.isPlayed) {
        if (isOnset(event)) playTogether([event]);
        else if (!brokenKeys.passesOver(event)) playOther(event);
      }
      queue.shift();
    }
  };

  const gestures = (options.createGestures ?? createGestures)<NoteOn>((gesture, isBroken) => {
    const classes = sizeOf(setOfNotes(gesture.map(({ note }) => note)));
    // A single note stays where it is among the events around it.
    if (classes > 1) playTogether(gesture, isBroken);
    playQueue();
  });

  const reachTime = (at: number): void => {
    gestures.reach(at);
    if (queue.first() === undefined) catchUp(at);
  };

  return {
    take(tick, bytes) {
      const at = Math.round(tempo.microsecondsAt(tick));
      gestures.reach(at);
      for (const message of decoder.push(bytes)) {
        const source = voices.sourceOf(message);
        const isPlayed = false;
        if (message.type === 'noteOn') {
          const { note } = message;
          const [key, end] = [keyOf(message), Number.POSITIVE_INFINITY];
          const begun: NoteOn = { tick, at, bytes, message, source, isPlayed, note, key, end };
          queue.add(begun);
          gestures.strike(begun);
          continue;
        }
        const event: Event = { tick, at, bytes, message, source, isPlayed };
        if (message.type === 'noteOff') gestures.release(keyOf(message), at);
        // Nothing is struck together across such a message.
        if (endsNotes(message)) gestures.finish();
        queue.add(event);
        playQueue();
      }
    },
    reach: (tick) => reachTime(Math.round(tempo.microsecondsAt(tick))),
    voiced: () => voiced,
    fromSymbols: () => fromSymbols,
    settledBefore: () => queue.first()?.tick ?? Number.POSITIVE_INFINITY,
    end(tick) {
      gestures.finish();
      const at = Math.round(tempo.microsecondsAt(tick));
      catchUp(at);
      for (const message of engine.letGo(at)) {
        if (message.type === 'noteOff') emit(tick, encode(message));
      }
      report(tick, at);
    },
  };
}
