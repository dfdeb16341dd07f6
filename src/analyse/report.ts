/** An analysis as plain data, for JSON. Field names are a contract. */

import { given } from '../common/given.ts';
import { formatKey } from '../harmony/key/key.ts';
import type { Analysis } from './analyse.ts';
import type { BassKind } from './bass-kinds.ts';
import type { DescribedChord, Doubling, Motion } from './describe.ts';
import type { Summary } from './figures.ts';
import { type Changes, changesRemark } from './given-chart.ts';
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
  /** Absent: no changes were given. */
  readonly changes?: Changes & { readonly remark: string };
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

function keyOf({ key }: Analysis): string {
  return key === undefined ? '' : formatKey(key);
}

function changesIn({ changes }: Analysis): AnalysisReport['changes'] {
  return changes && { ...changes, remark: changesRemark(changes) };
}

/** Chords of one piece: few enough for one text, enough for few writes. */
const chordsOfPiece = 500;

/** The same as text, in pieces, since all of a long passage at once takes much room. */
export function* reportPieces(analysis: Analysis, more: object = {}): Generator<string> {
  yield `{"key":${JSON.stringify(keyOf(analysis))},"chords":[`;
  for (let from = 0; from < analysis.chords.length; from += chordsOfPiece) {
    const piece = analysis.chords.slice(from, from + chordsOfPiece).map(reportOf);
    yield `${from === 0 ? '' : ','}${JSON.stringify(piece).slice(1, -1)}`;
  }
  const tail = JSON.stringify({
    summary: summaryOf(analysis),
    ...given('changes', changesIn(analysis)),
    ...more,
  });
  yield `],${tail.slice(1)}\n`;
}

export function analysisReport(analysis: Analysis): AnalysisReport {
  return {
    key: keyOf(analysis),
    chords: analysis.chords.map(reportOf),
    summary: summaryOf(analysis),
    ...given('changes', changesIn(analysis)),
  };
}
