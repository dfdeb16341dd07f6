/**
 * Plays a few chords to a throw-away session before the ports open, so that the player's first chord
 * meets code that has run. Nothing is sent, and the times are invented.
 *
 * Few, and none later: what goes on compiling and collecting behind open ports was seen to hold up
 * a real first chord for longer than it saves.
 */
import type { Setup } from '../../live/engine-api.ts';
import type { Clock } from '../clock.ts';
import { type CreateEngine, EngineSession } from './engine-session.ts';

/** Semitones above the root: a triad, a seventh chord, a lone note, a cluster. */
const shapes = [[0, 4, 7], [0, 3, 7, 10], [0], [0, 1, 2]];
/** Microseconds from keys down to keys up and from up to down. */
const hold = 50_000;
const middleC = 60;

/** @throws what the engine throws: a fault of the setup shows before the ports are open. */
export function warmUp(createEngine: CreateEngine, setup: Setup): void {
  let now = 0;
  const clock: Clock = { now: () => now, schedule: () => () => {}, later: () => () => {} };
  const session = new EngineSession({ createEngine, setup, clock, send: () => {} });
  for (const shape of shapes) {
    const notes = shape.map((above) => middleC + above);
    for (const note of notes) session.receive('keys', [0x90, note, 80], now);
    now += hold;
    for (const note of notes) session.receive('keys', [0x80, note, 64], now);
    now += hold;
    session.snapshot();
    session.takeReports();
  }
  // A session never throws; it falls back, which is no way to begin.
  if (session.notice !== '') throw new Error(session.notice);
}
