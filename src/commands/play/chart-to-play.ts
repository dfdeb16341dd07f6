/** `play --chart FILE`: the chart as a tune for the stage, with what its heading says of playing. */

import { tuneOf } from '../../chart/tune-of-chart.ts';
import { exitCodes, failure, misuse, type Streams } from '../../cli/command.ts';
import { formatKey } from '../../harmony/key/key.ts';
import { formatMetre } from '../../midi/metre.ts';
import { type StageTune, tuneReadings } from '../../tune/tune.ts';
import { readChartFile } from '../chart/chart-input.ts';
import { readChart, refuseChart, sayProblems } from '../chart/read-chart.ts';

type Asked = { readonly chart?: string; readonly written?: string };

export type ToPlay = {
  readonly stage: StageTune | undefined;
  /** For this run, where the command line says nothing. */
  readonly heading: { readonly key?: string; readonly metre?: string };
};

type Read =
  | { readonly ok: true; readonly value: ToPlay }
  | { readonly ok: false; readonly code: number };

/** What is wrong has been said, and the exit code says it too. */
export async function tuneToPlay({ chart, written }: Asked, streams: Streams): Promise<Read> {
  const reading = tuneReadings.find((each) => each === (written ?? 'with-growth'));
  if (reading === undefined) {
    const problem = `'--written' cannot be '${written}'; give ${tuneReadings.join(', ')}.`;
    return { ok: false, code: misuse(streams, problem, 'play') };
  }
  if (chart === undefined) {
    if (written === undefined) return { ok: true, value: { stage: undefined, heading: {} } };
    return { ok: false, code: misuse(streams, "'--written' is for --chart.", 'play') };
  }
  const input = await readChartFile(chart);
  if (!input.ok) return { ok: false, code: failure(streams, input.problem) };
  const { source } = input.value;
  const parsed = readChart(input.value, false);
  if (!parsed.ok) {
    refuseChart(parsed, source, streams);
    return { ok: false, code: exitCodes.failed };
  }
  sayProblems(parsed.remarks, source, streams);
  const { key, metres } = parsed.value;
  const heading = {
    ...(key !== undefined && { key: formatKey(key) }),
    metre: formatMetre(metres[0]),
  };
  return { ok: true, value: { stage: { tune: tuneOf(parsed.value), reading }, heading } };
}
