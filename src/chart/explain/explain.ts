/**
 * Every chord of a voiced chart explained in two sentences that follow from its data: how the voicing
 * is built, and why it is this one; and a line for each technique that was used.
 */
import { capitalised, wrapText } from '../../common/words.ts';
import type { StrategyId } from '../../voicing/voicing.ts';
import { createPreparer, type Prepared } from '../prepare.ts';
import { chartReport, type ReportedChord } from '../report.ts';
import type { VoicedChart } from '../voice.ts';
import { builtSentence, type ToldVoicing } from './built.ts';
import { type TechniqueTold, techniquesTold } from './rules.ts';
import { whyClauses } from './why.ts';

export type Explanation = {
  readonly built: string;
  readonly why: string;
  /** In the order of the clauses of `why`; each once. */
  readonly rules: readonly { readonly rule: string; readonly source: string }[];
};

export type ExplainedChart = {
  /** Of each chord; undefined for silence. */
  readonly chords: readonly (Explanation | undefined)[];
  readonly techniques: readonly TechniqueTold[];
};

type Told = ToldVoicing & { readonly chosen: string; readonly prepared: Prepared };

function toldOf(
  { chart, setup, chords }: VoicedChart,
  reports: readonly ReportedChord[],
): readonly (Told | undefined)[] {
  const prepare = createPreparer(setup, chart);
  const last = chart.chords.findLast(({ symbol }) => symbol !== undefined);
  return chords.map(({ chord, sounding }, place) => {
    const { written } = chord;
    const isLast = written.bar === last?.written.bar && written.share === last.written.share;
    const prepared = prepare(chord, isLast);
    const report = reports[place];
    if (sounding === undefined || prepared === undefined || report === undefined) return undefined;
    const { notes, sounds, chosen } = report;
    // The candidates are made anew, so that the voicing is found by its notes.
    const own = prepared.list.voicings.find(
      (each) => each.notes.join() === sounding.voicing.notes.join(),
    );
    return { voicing: own ?? sounding.voicing, notes, sounds, chosen, prepared };
  });
}

/** Of each chord the next one that sounds. */
function nextSounding(all: readonly (Told | undefined)[]): readonly (Told | undefined)[] {
  let next: Told | undefined;
  return all
    .toReversed()
    .map((told) => {
      const following = next;
      next = told ?? next;
      return following;
    })
    .reverse();
}

export function explainChart(voiced: VoicedChart): ExplainedChart {
  const reports = chartReport(voiced).chords;
  const all = toldOf(voiced, reports);
  const following = nextSounding(all);
  let last: Told | undefined;
  const chords = all.map((told, place): Explanation | undefined => {
    if (told === undefined) return undefined;
    const clauses = whyClauses({ ...told, last, next: following[place] });
    last = told;
    const rules = new Map(clauses.map(({ rule: { rule, source } }) => [rule, { rule, source }]));
    return {
      built: builtSentence(told),
      why: `${capitalised(clauses.map(({ text }) => text).join('; '))}.`,
      rules: [...rules.values()],
    };
  });
  const used = reports.map(({ technique }) => technique as StrategyId | '');
  return { chords, techniques: techniquesTold(used) };
}

/** Rules with the numbers they are cited by, in the order in which they are first needed. */
export function numberedRules(
  explained: readonly ExplainedChart[],
): ReadonlyMap<string, { readonly number: number; readonly source: string }> {
  const numbers = new Map<string, { readonly number: number; readonly source: string }>();
  for (const { chords } of explained) {
    for (const { rule, source } of chords.flatMap((each) => each?.rules ?? [])) {
      if (!numbers.has(rule)) numbers.set(rule, { number: numbers.size + 1, source });
    }
  }
  return numbers;
}

/** Of several charts, each technique once. */
export function usedTechniques(explained: readonly ExplainedChart[]): readonly TechniqueTold[] {
  const all = explained.flatMap(({ techniques }) => techniques);
  return [...new Map(all.map((each) => [each.id, each])).values()];
}

/** The sentences of a chord as lines, with the numbers of their rules. */
export function explanationLines(
  explanation: Explanation | undefined,
  rules: ReturnType<typeof numberedRules>,
  width: number,
): readonly string[] {
  if (explanation === undefined) return [];
  const numbers = explanation.rules.map(({ rule }) => rules.get(rule)?.number ?? 0);
  const { built, why } = explanation;
  return [...wrapText(built, width), ...wrapText(`${why} [${numbers.join(', ')}]`, width)];
}

/** Once at the end: the techniques that were used, and where the rules come from. */
export function definitionLines(
  explained: readonly ExplainedChart[],
  width: number,
): readonly string[] {
  const indented = (text: string) =>
    wrapText(text, width - 3).map((line, row) => (row === 0 ? line : `   ${line}`));
  if (usedTechniques(explained).length === 0) return [];
  return [
    'Techniques',
    ...usedTechniques(explained).flatMap(({ definition, source }) =>
      indented(`${definition} Source: ${source}`),
    ),
    '',
    'Rules in brackets, and where they come from',
    ...[...numberedRules(explained)].flatMap(([rule, { number, source }]) =>
      indented(`${number}. ${rule}: ${source}.`),
    ),
  ];
}
