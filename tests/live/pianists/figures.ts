/**
 * What listening to simulated pianists comes to: waits in milliseconds, shares from 0 to 1. Chords
 * played while the pianist was still being learned are left out, and rolled ones, which have no
 * last key to wait for that anybody could know.
 */
import type { Heard, Listening } from './listen.ts';

/** Chords a new pianist is listened to before anything is counted. */
export const learningChords = 48;

export type Figures = {
  readonly chords: number;
  /** Wait after the last key, over all chords of all pianists. */
  readonly median: number;
  readonly p95: number;
  /** Standard deviation of one pianist's waits: of the median pianist, and of the worst. */
  readonly deviation: number;
  readonly worstDeviation: number;
  /** Share of chords that were not sent once and right. */
  readonly corrected: number;
  /** Share of chords never read as the keys that were struck; counted among the corrected too. */
  readonly misread: number;
  /** Learned spread of the median pianist. */
  readonly spread: number;
  /** Share of pianists whose 95th percentile is at most their learned spread. */
  readonly withinSpread: number;
};

export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((one, other) => one - other);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? 0;
}

export function deviationOf(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length);
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return Math.sqrt(squares / Math.max(1, values.length));
}

export function waitsOf(heard: readonly Heard[]): number[] {
  return heard.flatMap(({ wait }) => (wait === undefined ? [] : [wait / 1000]));
}

function shareOf(heard: readonly Heard[], holds: (each: Heard) => boolean): number {
  return heard.filter(holds).length / Math.max(1, heard.length);
}

export function figuresOf(listenings: readonly Listening[]): Figures {
  const players = listenings.map(({ heard, learned }) => {
    const counted = heard.slice(learningChords).filter(({ chord }) => !chord.isRolled);
    const waits = waitsOf(counted);
    const spread = learned.spreadMicroseconds / 1000;
    return { counted, waits, spread, deviation: deviationOf(waits), p95: quantile(waits, 0.95) };
  });
  const counted = players.flatMap((player) => player.counted);
  const waits = players.flatMap((player) => player.waits);
  const deviations = players.map((player) => player.deviation);
  return {
    chords: counted.length,
    median: quantile(waits, 0.5),
    p95: quantile(waits, 0.95),
    deviation: quantile(deviations, 0.5),
    worstDeviation: quantile(deviations, 1),
    corrected: shareOf(counted, (each) => each.wasCorrected),
    misread: shareOf(counted, (each) => each.wait === undefined),
    spread: quantile(
      players.map((player) => player.spread),
      0.5,
    ),
    withinSpread:
      players.filter((player) => player.p95 <= player.spread).length / Math.max(1, players.length),
  };
}

/** Of the rolled chords: how many ended up as the chord they were, and how long after the last key. */
export function rolledFiguresOf(listenings: readonly Listening[]): {
  readonly chords: number;
  readonly read: number;
  readonly median: number;
} {
  const rolled = listenings.flatMap(({ heard }) => heard.filter(({ chord }) => chord.isRolled));
  return {
    chords: rolled.length,
    read: shareOf(rolled, (each) => each.wait !== undefined),
    median: quantile(waitsOf(rolled), 0.5),
  };
}
