/** A chart of any kind as it was found, read; and what is wrong with it, in sentences. */
import type { Chart } from '../../chart/chart.ts';
import { readMusicXml } from '../../chart/musicxml/read-musicxml.ts';
import { type ParsedChart, parseChart } from '../../chart/parse.ts';
import { exitCodes, failure, type Streams } from '../../cli/command.ts';
import { ownCommand } from '../../cli/own-command.ts';
import { formatProblem, type Problem } from '../../presets/problem.ts';
import type { ChartInput } from './chart-input.ts';

export function readChart({ text, isMusicXml }: ChartInput, withMelody: boolean): ParsedChart {
  if (!isMusicXml) return parseChart(text);
  const read = readMusicXml(text, { withMelody });
  return read.ok ? read : { ok: false, problems: [read.problem], isNoChart: false };
}

/** More mistakes than anybody mends in one go. */
const mostProblems = 12;

/** Each with its line and column, the first of them. */
export function sayProblems(
  problems: readonly Problem[],
  source: string,
  { stderr }: Streams,
): void {
  for (const problem of problems.slice(0, mostProblems)) {
    stderr.write(`handspan: ${formatProblem(source, problem)}\n`);
  }
  const more = problems.length - mostProblems;
  if (more > 0) stderr.write(`handspan: ${source}: ${more} more like these.\n`);
}

/** Says what is wrong; the exit code. */
export function refuseChart(
  { problems, isNoChart }: Extract<ParsedChart, { ok: false }>,
  source: string,
  streams: Streams,
): number {
  const [first] = problems;
  if (!isNoChart || first === undefined) {
    sayProblems(problems, source, streams);
    return exitCodes.failed;
  }
  const problem = `${source} is no chart: most of its words are no chord symbols, the first in line ${first.line}; '${ownCommand('help charts')}' shows how one is written.`;
  return failure(streams, problem);
}

export type NamedChart = {
  readonly chart: Chart;
  /** What it is called in messages. */
  readonly source: string;
};

/** Each of the charts; undefined when something is wrong, and then that has been said. */
export function readCharts(
  inputs: readonly ChartInput[],
  withMelody: boolean,
  streams: Streams,
): readonly NamedChart[] | undefined {
  const charts: NamedChart[] = [];
  for (const input of inputs) {
    const { source } = input;
    const parsed = readChart(input, withMelody);
    if (!parsed.ok) {
      refuseChart(parsed, source, streams);
      return undefined;
    }
    sayProblems(parsed.remarks, source, streams);
    charts.push({ chart: parsed.value, source });
  }
  return charts;
}
