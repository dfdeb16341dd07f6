/**
 * Plays chords to a throw-away session, so that the player's first chord meets compiled code and
 * built tables instead of paying for both. Nothing is sent, and the times are invented.
 */
import type { Setup } from '../live/engine-api.ts';
import type { Clock } from './clock.ts';
import { type CreateEngine, EngineSession } from './engine-session.ts';

/** Semitones above the root: major, minor, dominant seventh, minor seventh, a cluster. */
const shapes = [
  [0, 4, 7],
  [0, 3, 7],
  [0, 4, 7, 10],
  [0, 3, 7, 10],
  [0, 1, 2],
];
const rounds = 3;
const roots = Array.from({ length: 12 }, (_, i) => 48 + i);
/** Microseconds from keys down to keys up and from up to down. */
const hold = 50_000;

export type WarmUp = {
  /** Plays one chord; false when that was the last. @throws what the engine throws. */
  readonly step: () => boolean;
};

/**
 * The first step takes the longest and meets every part once, so a fault shows before the ports are
 * open; the others may follow in the pauses of playing.
 */
export function createWarmUp(createEngine: CreateEngine, setup: Setup): WarmUp {
  let now = 0;
  const clock: Clock = { now: () => now, schedule: () => () => {}, later: () => () => {} };
  const session = new EngineSession({ createEngine, setup, clock, send: () => {} });
  const chords = Array.from({ length: rounds }, () => roots)
    .flat()
    .flatMap((root) => shapes.map((shape) => shape.map((above) => root + above)));
  let next = 0;
  return {
    step() {
      const notes = chords[next];
      if (notes === undefined) return false;
      next += 1;
      for (const note of notes) session.receive('keys', [0x90, note, 80], now);
      now += hold;
      for (const note of notes) session.receive('keys', [0x80, note, 64], now);
      now += hold;
      session.snapshot();
      session.takeReports();
      // A session never throws; it falls back, which is no way to begin.
      if (session.notice !== '') throw new Error(session.notice);
      return next < chords.length;
    },
  };
}
