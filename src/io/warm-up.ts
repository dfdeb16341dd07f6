/**
 * Plays chords to a throw-away engine, so that the player's first chord meets compiled code and
 * built tables instead of paying for both. Takes no clock: the times are invented.
 */
import type { Setup } from '../live/engine-api.ts';
import type { CreateEngine } from './engine-session.ts';

/** Semitones above the root: major, minor, dominant seventh, minor seventh, a cluster. */
const shapes = [
  [0, 4, 7],
  [0, 3, 7],
  [0, 4, 7, 10],
  [0, 3, 7, 10],
  [0, 1, 2],
];
const rounds = 3;

/** @throws what the engine throws: better before the ports are open than at the first chord. */
export function warmUp(createEngine: CreateEngine, setup: Setup): void {
  const engine = createEngine(setup);
  let at = 0;
  const later = () => {
    at += 50_000;
    const deadline = engine.deadline();
    if (deadline !== undefined && deadline <= at) engine.advance(at);
  };
  for (let round = 0; round < rounds; round++) {
    for (let root = 48; root < 60; root++) {
      for (const shape of shapes) {
        const notes = shape.map((above) => root + above);
        for (const note of notes) {
          engine.receive({ type: 'noteOn', channel: 0, note, velocity: 80 }, at);
        }
        later();
        for (const note of notes) {
          engine.receive({ type: 'noteOff', channel: 0, note, velocity: 64 }, at);
        }
        later();
        engine.snapshot();
        engine.takeReports();
      }
    }
  }
  engine.letGo(at);
}
