/** A progression in several treatments: the same chart, each time voiced with another preset. */
import type { VoicedChart } from '../chart/voice.ts';

export type Treatment = {
  /** As it was asked for: 'drop-2', 'Fourths over the root'. */
  readonly name: string;
  readonly voiced: VoicedChart;
};

export const fewestTreatments = 2;
export const mostTreatments = 8;
