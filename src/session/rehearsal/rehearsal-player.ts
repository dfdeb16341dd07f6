/**
 * Rehearsal: the computer keyboard plays chords on the degrees of the key, and the built-in
 * performances can be started. One chord at a time; whoever starts one ends the one before.
 */
import { given } from '../../common/given.ts';
import type { Key } from '../../harmony/key/key.ts';
import { createPerformer } from '../../io/engine/performer.ts';
import type { Written } from '../../io/engine/stage-state.ts';
import { encode } from '../../midi/encode.ts';
import { type DemoTune, demoPerformance, type Performance } from '../../take/performance.ts';
import { chordOnDegree, chordTypes, inversionsOf } from './degree-chords.ts';

const velocity = 80;
/** A key of a terminal that is held down repeats itself about this often; milliseconds. */
const longestKeyRepeat = 110;

export type RehearsalSurroundings = {
  /** Bytes as from a keyboard, or of what was written. */
  readonly play: (bytes: readonly number[], written?: Written) => void;
  /** Silences whatever the performance still held. */
  readonly panic: () => void;
  /** The key degrees are counted in. */
  readonly key: () => Key;
  /**
   * The performance begins: in the player's key where it can, so many semitones higher than written;
   * else in its own, and gives the player's back.
   */
  readonly beginDemoKey: (key: string) => number;
  readonly endDemoKey: () => void;
  readonly say: (sentence: string) => void;
  readonly changed: () => void;
};

export type RehearsalPlayer = {
  readonly isDemoPlaying: (tune?: DemoTune) => boolean;
  /** The chords of the performance that have not come yet: the notes of each, lowest first. */
  readonly coming: () => readonly (readonly number[])[];
  readonly chordType: () => string;
  readonly inversion: () => string;
  /** The chord on a degree 1–7, until another or `letGo`. `atMs`: any clock. */
  readonly playDegree: (degree: number, atMs?: number) => void;
  /** The key of a degree came up: its chord ends, if it still sounds. */
  readonly releaseDegree: (degree: number) => void;
  /** MIDI note numbers, held as one chord until another or `letGo`; `symbol`: the chord they are. */
  readonly playNotes: (notes: readonly number[], symbol?: string) => void;
  /** Somebody has played, and not the performance. */
  readonly isPlayed: () => boolean;
  readonly letGo: () => void;
  /** Chooses only: what sounds goes on, and the next degree is played so. */
  readonly stepChordType: (step: 1 | -1) => void;
  readonly stepInversion: (step: 1 | -1) => void;
  /** Notes that are meant, or the chord of this symbol. */
  readonly strike: (notes: readonly number[], symbol?: string) => void;
  readonly lift: (notes: readonly number[]) => void;
  readonly startDemo: (onEnd?: () => void, tune?: DemoTune) => void;
  readonly stopDemo: () => void;
  /** Everything has been silenced elsewhere: nothing plays any more. */
  readonly forget: () => void;
};

/** What the next degree is played as: a type of chord and its inversion, stepped through in a ring. */
function createShape() {
  let type = 0;
  let turned = 0;
  const typeName = () => chordTypes[type]?.name ?? '';
  const inversionName = () => inversionsOf(type)[turned] ?? '';
  return {
    typeName,
    inversionName,
    notesOn: (key: Key, degree: number) => chordOnDegree(key, degree, type, turned),
    stepType(step: 1 | -1): void {
      type = (type + step + chordTypes.length) % chordTypes.length;
      turned = Math.min(turned, inversionsOf(type).length - 1);
    },
    stepInversion(step: 1 | -1): void {
      const count = inversionsOf(type).length;
      turned = (turned + step + count) % count;
    },
  };
}

/** Degrees as a terminal tells of their keys: one that knows no key-up repeats a key held down. */
function createDegreeKeys() {
  let lastDegree = 0;
  let pressedAt = Number.NEGATIVE_INFINITY;
  return {
    isLast: (degree: number): boolean => degree === lastDegree,
    /** Whether the key has been down all the while. */
    press(degree: number, atMs: number): boolean {
      const isRepeat = degree === lastDegree && atMs - pressedAt < longestKeyRepeat;
      pressedAt = atMs;
      lastDegree = degree;
      return isRepeat;
    },
  };
}

type DemoSurroundings = Pick<
  RehearsalSurroundings,
  'play' | 'panic' | 'beginDemoKey' | 'endDemoKey'
>;

/** A built-in performance, in the player's key where it can be. */
function createDemo({ play, panic, beginDemoKey, endDemoKey }: DemoSurroundings) {
  const performer = createPerformer(play);
  let written: Performance['chords'] = [];
  /** The tune that is played, or was last. */
  let playing: DemoTune = 'chords';
  return {
    isPlaying: (tune = playing) => performer.isPlaying() && tune === playing,
    coming(): readonly (readonly number[])[] {
      if (!performer.isPlaying()) return [];
      const elapsed = performer.elapsed();
      const next = written.findIndex(({ atMicroseconds }) => atMicroseconds > elapsed);
      return next < 0 ? [] : written.slice(next).map(({ notes }) => notes);
    },
    start(onEnd: () => void, tune: DemoTune): void {
      playing = tune;
      const { key } = demoPerformance(0, tune);
      const demo = demoPerformance(beginDemoKey(key), tune);
      written = demo.chords;
      performer.start(demo.events, demo.lengthMicroseconds, () => {
        endDemoKey();
        onEnd();
      });
    },
    stop(): void {
      if (!performer.isPlaying()) return;
      performer.stop();
      // Keys the performance still held are nobody's now.
      panic();
      endDemoKey();
    },
    /** Everything has been silenced elsewhere. */
    forget(): void {
      const wasPlaying = performer.isPlaying();
      performer.stop();
      // First silence: the player's own key must not voice a chord of the performance anew.
      if (wasPlaying) panic();
      endDemoKey();
    },
  };
}

export function createRehearsalPlayer(surroundings: RehearsalSurroundings): RehearsalPlayer {
  const demo = createDemo(surroundings);
  let sounding: readonly number[] = [];
  const shape = createShape();
  const degreeKeys = createDegreeKeys();
  let isPlayed = false;

  /** In one message: notes are struck at one time, however busy the machine is. */
  const send = (kind: 'noteOn' | 'noteOff', notes: readonly number[], written?: Written): void => {
    if (notes.length === 0) return;
    const stroke = { type: kind, channel: 0, velocity: kind === 'noteOn' ? velocity : 64 } as const;
    const bytes = notes.flatMap((note) => [...encode({ ...stroke, note })]);
    surroundings.play(bytes, written);
  };

  const letGo = (): void => {
    send('noteOff', sounding);
    sounding = [];
  };

  const begin = (notes: readonly number[]): void => {
    demo.stop();
    letGo();
    isPlayed = true;
    sounding = notes;
  };

  const playNotes = (notes: readonly number[], written?: Written): void => {
    begin(notes);
    send('noteOn', notes, written);
  };

  const sayNext = (): void => {
    const next = `${shape.typeName()}, ${shape.inversionName()}`;
    surroundings.say(`From the next chord on: ${next}.`);
    surroundings.changed();
  };

  return {
    isDemoPlaying: demo.isPlaying,
    coming: demo.coming,
    chordType: shape.typeName,
    inversion: shape.inversionName,
    playDegree(degree, atMs = performance.now()) {
      const isRepeat = degreeKeys.press(degree, atMs);
      if (!isRepeat || sounding.length === 0) {
        // The key of a degree is a key.
        playNotes(shape.notesOn(surroundings.key(), degree));
      }
    },
    releaseDegree(degree) {
      if (degreeKeys.isLast(degree)) letGo();
    },
    playNotes: (notes, symbol) => playNotes(notes, given('symbol', symbol)),
    isPlayed: () => isPlayed,
    letGo,
    stepChordType(step) {
      shape.stepType(step);
      sayNext();
    },
    stepInversion(step) {
      shape.stepInversion(step);
      sayNext();
    },
    strike: (notes, symbol) => send('noteOn', notes, given('symbol', symbol)),
    lift: (notes) => send('noteOff', notes),
    startDemo(onEnd = () => {}, tune = 'chords') {
      demo.stop();
      letGo();
      demo.start(onEnd, tune);
      surroundings.changed();
    },
    stopDemo: demo.stop,
    forget() {
      sounding = [];
      demo.forget();
    },
  };
}
