/** Chord reports as the engine makes them, for tests of takes. */
import type { ChordReport } from '../../src/live/snapshot.ts';
import { noteOf } from '../score/progressions.ts';

/** The first name is the bass. */
export function reportOf(
  atMicroseconds: number,
  symbol: string,
  names: readonly string[],
): ChordReport {
  const voices = names.map((name, place) => ({
    note: noteOf(name),
    name,
    degree: '1',
    part: place === 0 ? ('bass' as const) : ('upper' as const),
    velocity: 80,
  }));
  return {
    atMicroseconds,
    heard: { symbol, runnerUp: '', notes: [] },
    sent: { voices, symbol, label: 'three-part fourths over the root', relaxed: [] },
    preset: 'fourths-over-root',
  };
}
