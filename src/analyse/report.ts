/** An analysis as plain data, for JSON. Field names are a contract. */
import { formatKey } from '../harmony/key/key.ts';
import type { Analysis } from './analyse.ts';
import type { BassKind } from './bass-kinds.ts';
import type { DescribedChord, Doubling, Motion } from './describe.ts';
import type { Summary } from './figures.ts';
import type { HeardNote } from './heard-chord.ts';
import { summaryOf } from './summary.ts';

export type ReportedChord = {
  readonly bar: number;
  readonly beat: number;
  readonly symbol: string;
  readonly notes: readonly HeardNote[];
  /** Id of a strategy, or 'none'. */
  readonly technique: string;
  readonly label: string;
  readonly bass: BassKind;
  /** Null for the first chord. */
  readonly motion: Motion | null;
  /** 0 to 1. */
  readonly confidence: number;
  readonly evidence: string;
  readonly span: number;
  readonly spacing: readonly number[];
  readonly doublings: readonly Doubling[];
  readonly times: number;
  /** Notes set aside while it sounds. */
  readonly aside: readonly { readonly kind: string; readonly midi: number }[];
};

export type AnalysisReport = {
  /** 'Eb major'; '' where none is heard. */
  readonly key: string;
  readonly chords: readonly ReportedChord[];
  readonly summary: Summary;
};

function reportOf(chord: DescribedChord): ReportedChord {
  const { place, moment, symbol, notes, technique, label, bassKind, motion, confidence } = chord;
  const { evidence, span, spacing, doublings } = chord;
  return {
    ...place,
    symbol,
    notes,
    technique,
    label,
    bass: bassKind,
    motion: motion ?? null,
    confidence,
    evidence,
    span,
    spacing,
    doublings,
    times: moment.times,
    aside: moment.aside.map(({ kind, note }) => ({ kind, midi: note.note })),
  };
}

export function analysisReport(analysis: Analysis): AnalysisReport {
  return {
    key: analysis.key === undefined ? '' : formatKey(analysis.key),
    chords: analysis.chords.map(reportOf),
    summary: summaryOf(analysis),
  };
}
