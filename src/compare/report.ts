/** A comparison as JSON: the chords as a chart has them, and beside them what was measured. */
import { type ChartReport, chartReport } from '../chart/report.ts';
import { roughnessModel } from '../sound/roughness.ts';
import type { ChordFacts, Facts } from './facts.ts';
import type { Compared } from './text.ts';

export type ComparisonReport = {
  readonly treatments: readonly Pick<ChartReport, 'preset' | 'strategy' | 'chords'>[];
  /** In the order of the treatments. */
  readonly facts: readonly (Facts & { readonly name: string; readonly cost: number })[];
  readonly roughness: typeof roughnessModel;
};

/** Figures nobody reads further. */
function rounded(chord: ChordFacts | undefined): ChordFacts | undefined {
  if (chord === undefined) return undefined;
  const to = (value: number, places: number) => Math.round(value * 10 ** places) / 10 ** places;
  return { ...chord, middle: to(chord.middle, 2), roughness: to(chord.roughness, 4) };
}

export function comparisonReport(treatments: readonly Compared[]): ComparisonReport {
  const reports = treatments.map(({ voiced }) => chartReport(voiced));
  return {
    treatments: reports.map(({ preset, strategy, chords }) => ({ preset, strategy, chords })),
    facts: treatments.map(({ name, facts }, place) => ({
      name,
      cost: reports[place]?.cost ?? 0,
      reach: facts.reach,
      chords: facts.chords.map(rounded),
      moves: facts.moves,
    })),
    roughness: roughnessModel,
  };
}
