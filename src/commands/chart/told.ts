/** What `handspan chart` prints: a chart in one treatment or several, as text or JSON, explained or not. */
import {
  definitionLines,
  type ExplainedChart,
  explainChart,
  explanationLines,
  numberedRules,
  usedTechniques,
} from '../../chart/explain/explain.ts';
import { chartReport, formatChart } from '../../chart/report.ts';
import { factsOf } from '../../compare/facts.ts';
import { comparisonReport } from '../../compare/report.ts';
import { comparedOf, compareText } from '../../compare/text.ts';
import type { Treatment } from '../../compare/treatment.ts';
import type { Reach } from '../../voicing/hands.ts';

export type Telling = {
  readonly json?: boolean;
  readonly explain?: boolean;
  readonly reach: Reach;
};

/** Where nobody says how wide the page is: printed on A4 or Letter in landscape it fits. */
const pageColumns = 120;
/** Sentences are read in lines no longer than that. */
const sentenceColumns = 90;

type Chords = { readonly chords: readonly object[] };

function withExplanations<T extends Chords>(report: T, explained: ExplainedChart | undefined): T {
  if (explained === undefined) return report;
  const chords = report.chords.map((chord, place) => ({
    ...chord,
    explanation: explained.chords[place],
  }));
  return { ...report, chords };
}

function asJson(treatments: readonly Treatment[], telling: Telling): unknown {
  const { explain = false, reach } = telling;
  const explained = treatments.map(({ voiced }) => (explain ? explainChart(voiced) : undefined));
  const techniques = usedTechniques(explained.flatMap((each) => each ?? []));
  const told = explain ? { techniques } : {};
  const [first, ...others] = treatments;
  if (first === undefined) return {};
  if (others.length === 0) {
    return { ...withExplanations(chartReport(first.voiced), explained[0]), ...told };
  }
  const compared = treatments.map((each) => comparedOf(each, factsOf(each.voiced, reach)));
  const report = comparisonReport(compared);
  const own = report.treatments.map((each, place) => withExplanations(each, explained[place]));
  return { ...report, treatments: own, ...told };
}

/** Every chord of a treatment with its sentences, where they have no room beside each other. */
function explainedText(
  { name, voiced }: Treatment,
  { chords }: ExplainedChart,
  rules: ReturnType<typeof numberedRules>,
): readonly string[] {
  const lines = voiced.chords.flatMap(({ chord }, place) =>
    explanationLines(chords[place], rules, sentenceColumns).map((line, row) =>
      row === 0 ? `${`${chord.bar}.${chord.beat}`.padEnd(7)}${line}` : `${' '.repeat(7)}${line}`,
    ),
  );
  return lines.length === 0 ? [] : ['', name, ...lines];
}

function asText(
  treatments: readonly Treatment[],
  { explain = false, reach }: Telling,
  columns: number,
): string {
  const explained = explain ? treatments.map(({ voiced }) => explainChart(voiced)) : [];
  const rules = numberedRules(explained);
  const defined = explain ? definitionLines(explained, sentenceColumns) : [];
  const ending = defined.length === 0 ? [] : ['', ...defined];
  const [first, ...others] = treatments;
  if (first === undefined) return '';
  if (others.length === 0) {
    const lines = (place: number) =>
      explanationLines(explained[0]?.chords[place], rules, sentenceColumns);
    return [formatChart(first.voiced, lines).trimEnd(), ...ending].join('\n');
  }
  const compared = treatments.map((each) => comparedOf(each, factsOf(each.voiced, reach)));
  const sentences = treatments.flatMap((each, place) => {
    const own = explained[place];
    return own === undefined ? [] : explainedText(each, own, rules);
  });
  return [compareText(compared, columns).trimEnd(), ...sentences, ...ending].join('\n');
}

/** @param columns of the terminal, where it is one. */
export function toldText(
  treatments: readonly Treatment[],
  telling: Telling,
  columns: number = pageColumns,
): string {
  if (telling.json === true) return JSON.stringify(asJson(treatments, telling));
  return asText(treatments, telling, columns);
}
