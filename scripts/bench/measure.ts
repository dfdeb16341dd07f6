/**
 * Measuring: many timed rounds, reported as median and 99th percentile; things compared with each
 * other are measured interleaved in one run, because only ratios travel between machines.
 */
export type Spread = { readonly median: number; readonly p99: number; readonly worst: number };

/** Of any unit, in ascending order of nothing in particular. */
export function spreadOf(values: readonly number[]): Spread {
  const sorted = [...values].sort((one, other) => one - other);
  const at = (share: number): number =>
    sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? 0;
  return { median: at(0.5), p99: at(0.99), worst: sorted.at(-1) ?? 0 };
}

/** Milliseconds of one call. */
export function time(action: () => void): number {
  const start = performance.now();
  action();
  return performance.now() - start;
}

/** Nanoseconds a call when it is too short to be timed alone: the mean over `calls` calls. */
export function nanosecondsEach(calls: number, action: (call: number) => void): number {
  const start = performance.now();
  for (let call = 0; call < calls; call += 1) action(call);
  return ((performance.now() - start) * 1e6) / calls;
}

/** One line of the report: what, and figures already worded. */
export type Row = readonly [name: string, figures: string];

export type Bench = {
  readonly title: string;
  readonly run: () => Promise<readonly Row[]>;
  /** What it measures runs on the engine's thread in the program, and so here. */
  readonly isOnEngineThread?: boolean;
};

export function milliseconds(value: number): string {
  return `${value < 1 ? value.toFixed(4) : value.toFixed(2)} ms`;
}

export function spreadText({ median, p99, worst }: Spread): string {
  return `median ${milliseconds(median)}, p99 ${milliseconds(p99)}, worst ${milliseconds(worst)}`;
}
