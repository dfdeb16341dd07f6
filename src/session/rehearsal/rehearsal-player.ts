/**
 * Rehearsal: the computer keyboard plays chords on the degrees of the key, and the built-in
 * performances can be started. One chord at a time; whoever starts one ends the one before.
 */
import type { Key } from '../../harmony/key/key.ts';
import { createPerformer } from '../../io/engine/performer.ts';
import { encode } from '../../midi/encode.ts';
import { type DemoTune, demoPerformance, type Performance } from '../../take/performance.ts';
import { chordOnDegree, chordTypes, inversionsOf } from './degree-chords.ts';

const velocity = 80;
/** A key of a terminal that is held down repeats itself about this often; milliseconds. */
const longestKeyRepeat = 110;

export type RehearsalSurroundings = {
  /** Bytes as from a keyboard. */
  readonly play: (bytes: readonly number[]) => void;
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
  /** MIDI note numbers, held as one chord until another or `letGo`. */
  readonly playNotes: (notes: readonly number[]) => void;
  /** Somebody has played, and not the performance. */
  readonly isPlayed: () => boolean;
  readonly letGo: () => void;
  /** Chooses only: what sounds goes on, and the next degree is played so. */
  readonly stepChordType: (step: 1 | -1) => void;
  readonly stepInversion: (step: 1 | -1) => void;
  /** Notes as from a keyboard. */
  readonly strike: (notes: readonly number[]) => void;
  readonly lift: (notes: readonly number[]) => void;
  readonly startDemo: (onEnd?: () => void, tune?: DemoTune) => void;
  readonly stopDemo: () => void;
  /** Everything has been silenced elsewhere: nothing plays any more. */
  readonly forget: () => void;
};

export function createRehearsalPlayer(surroundings: RehearsalSurroundings): RehearsalPlayer {
  const performer = createPerformer(surroundings.play);
  let sounding: readonly number[] = [];
  let lastDegree = 0;
  let pressedAt = Number.NEGATIVE_INFINITY;
  let type = 0;
  let turned = 0;
  let isPlayed = false;
  let written: Performance['chords'] = [];
  /** The tune that is played, or was last. */
  let playing: DemoTune = 'chords';

  /** In one message: notes are struck at one time, however busy the machine is. */
  const send = (kind: 'noteOn' | 'noteOff', notes: readonly number[]): void => {
    if (notes.length === 0) return;
    const stroke = { type: kind, channel: 0, velocity: kind === 'noteOn' ? velocity : 64 } as const;
    surroundings.play(notes.flatMap((note) => [...encode({ ...stroke, note })]));
  };

  const letGo = (): void => {
    send('noteOff', sounding);
    sounding = [];
  };

  const stopDemo = (): void => {
    if (!performer.isPlaying()) return;
    performer.stop();
    // Keys the performance still held are nobody's now.
    surroundings.panic();
    surroundings.endDemoKey();
  };

  const begin = (notes: readonly number[]): void => {
    stopDemo();
    letGo();
    isPlayed = true;
    sounding = notes;
  };

  const playNotes = (notes: readonly number[]): void => {
    begin(notes);
    send('noteOn', notes);
  };

  const play = (degree: number): void => {
    lastDegree = degree;
    playNotes(chordOnDegree(surroundings.key(), degree, type, turned));
  };

  const sayNext = (): void => {
    const next = `${chordTypes[type]?.name ?? ''}, ${inversionsOf(type)[turned] ?? ''}`;
    surroundings.say(`From the next chord on: ${next}.`);
    surroundings.changed();
  };

  return {
    isDemoPlaying: (tune = playing) => performer.isPlaying() && tune === playing,
    coming() {
      if (!performer.isPlaying()) return [];
      const elapsed = performer.elapsed();
      const next = written.findIndex(({ atMicroseconds }) => atMicroseconds > elapsed);
      return next < 0 ? [] : written.slice(next).map(({ notes }) => notes);
    },
    chordType: () => chordTypes[type]?.name ?? '',
    inversion: () => inversionsOf(type)[turned] ?? '',
    playDegree(degree, atMs = performance.now()) {
      // A key held down on a terminal that knows no key-up arrives again and again.
      const isRepeat = degree === lastDegree && atMs - pressedAt < longestKeyRepeat;
      pressedAt = atMs;
      if (!(isRepeat && sounding.length > 0)) play(degree);
    },
    releaseDegree(degree) {
      if (degree === lastDegree) letGo();
    },
    playNotes,
    isPlayed: () => isPlayed,
    letGo,
    stepChordType(step) {
      type = (type + step + chordTypes.length) % chordTypes.length;
      turned = Math.min(turned, inversionsOf(type).length - 1);
      sayNext();
    },
    stepInversion(step) {
      const count = inversionsOf(type).length;
      turned = (turned + step + count) % count;
      sayNext();
    },
    strike: (notes) => send('noteOn', notes),
    lift: (notes) => send('noteOff', notes),
    startDemo(onEnd = () => {}, tune = 'chords') {
      stopDemo();
      letGo();
      playing = tune;
      const { key } = demoPerformance(0, tune);
      const demo = demoPerformance(surroundings.beginDemoKey(key), tune);
      written = demo.chords;
      performer.start(demo.events, demo.lengthMicroseconds, () => {
        surroundings.endDemoKey();
        onEnd();
      });
      surroundings.changed();
    },
    stopDemo,
    forget() {
      const wasPlaying = performer.isPlaying();
      performer.stop();
      sounding = [];
      // First silence: the player's own key must not voice a chord of the performance anew.
      if (wasPlaying) surroundings.panic();
      surroundings.endDemoKey();
    },
  };
}
