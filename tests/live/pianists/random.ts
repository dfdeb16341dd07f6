/**
 * Chance with a seed, so that a simulated pianist plays the same performance every time. The
 * generator is Marsaglia's 32-bit xorshift (13, 17, 5), 'Xorshift RNGs', Journal of Statistical
 * Software 8 (2003); good enough for onsets, and the same on every machine.
 */
export type Random = {
  /** Evenly from `low` up to `high`, not rounded. */
  readonly between: (low: number, high: number) => number;
  /** An integer from 0 to `count` - 1. */
  readonly below: (count: number) => number;
  /** True in this share of calls, 0–1. */
  readonly chance: (share: number) => boolean;
  /** Normal, mean 0, standard deviation 1 (Box and Muller, 1958). */
  readonly normal: () => number;
  /** Exponential with this mean. */
  readonly exponential: (mean: number) => number;
  readonly shuffle: <T>(items: readonly T[]) => T[];
};

export function createRandom(seed: number): Random {
  let state = (Math.imul(seed, 0x9e3779b1) ^ 0x5bd1e995) | 0 || 1;
  const unit = (): number => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
  // Neighbouring seeds begin alike; a few steps part them.
  for (let step = 0; step < 16; step += 1) unit();
  const below = (count: number): number => Math.floor(unit() * count);
  return {
    between: (low, high) => low + unit() * (high - low),
    below,
    chance: (share) => unit() < share,
    normal: () => Math.sqrt(-2 * Math.log(1 - unit())) * Math.cos(2 * Math.PI * unit()),
    exponential: (mean) => -mean * Math.log(1 - unit()),
    shuffle(items) {
      const shuffled = [...items];
      for (let last = shuffled.length - 1; last > 0; last -= 1) {
        const other = below(last + 1);
        const [one, two] = [shuffled[last], shuffled[other]];
        if (one === undefined || two === undefined) continue;
        shuffled[last] = two;
        shuffled[other] = one;
      }
      return shuffled;
    },
  };
}
