/**
 * Gathering: how long to wait for the rest of a chord. The wait ends as soon as the expected
 * number of keys is down and makes a chord; at the latest when the ceiling after the first key is
 * reached. The expected number is what the last chord had.
 */
import type { Preset } from '../presets/preset.ts';

/** Most players' plain chords, until one has been heard. */
const firstExpected = 3;

export type Gathering = {
  /** When the wait for keys first struck at `firstAt` ends at the latest. */
  readonly deadline: (firstAt: number) => number;
  /** True when this many keys are worth reading before the deadline. */
  readonly isEnough: (keys: number) => boolean;
  /** A chord of this many keys was read. */
  readonly learn: (keys: number) => void;
};

export function createGathering(preset: Preset, expectedBefore?: number): Gathering {
  const { mode, ceilingMilliseconds } = preset.gathering;
  let expected = expectedBefore ?? firstExpected;
  return {
    deadline: (firstAt) => (mode === 'at-once' ? firstAt : firstAt + ceilingMilliseconds * 1000),
    isEnough: (keys) => mode === 'at-once' || keys >= expected,
    learn(keys) {
      expected = Math.max(firstExpected, keys);
    },
  };
}
