/** `play --chart FILE`: the chart as a tune for the stage, with what its heading says of playing. */

import type { Chart } from '../../chart/chart.ts';
import { tuneOf } from '../../chart/tune-of-chart.ts';
import { exitCodes, failure, misuse, type Streams } from '../../cli/command.ts';
import { given } from '../../common/given.ts';
import { capitalised } from '../../common/words.ts';
import { formatKey } from '../../harmony/key/key.ts';
import type { PresetCollection } from '../../io/files/preset-files.ts';
import { formatMetre } from '../../midi/metre.ts';
import type { Problem } from '../../presets/problem.ts';
import { findPreset } from '../../session/presets/preset-lookup.ts';
import { type StageTune, tuneFollows, tuneReadings } from '../../tune/tune.ts';
import { readChartFile } from '../chart/chart-input.ts';
import { readChart, refuseChart, sayProblems } from '../chart/read-chart.ts';

export type AskedOfChart = {
  readonly chart?: string;
  readonly written?: string;
  readonly follow?: string;
};

export type ToPlay = {
  readonly stage: StageTune | undefined;
  /** The chart that it was made of. */
  readonly chart?: Chart;
  /** For this run, where the command line says nothing. */
  readonly heading: { readonly key?: string; readonly metre?: string };
};

type Read =
  | { readonly ok: true; readonly value: ToPlay }
  | { readonly ok: false; readonly code: number };

type Named =
  | { readonly ok: true; readonly value: Pick<StageTune, 'tune' | 'presets'> }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/** The chart as a tune, with the presets that it names, by their ids. */
function withPresets(chart: Chart, collection: PresetCollection): Named {
  const found = new Map<string, ReturnType<typeof findPreset>>();
  const problems: Problem[] = [];
  for (const share of chart.form.bars.flatMap(({ shares }) => shares)) {
    const name = share.kind === 'chord' ? share.chord.chosen.preset : undefined;
    if (name === undefined) continue;
    const preset = found.get(name) ?? findPreset(name, collection);
    found.set(name, preset);
    const { line, column } = share;
    if (!preset.ok) problems.push({ line, column, path: '', message: capitalised(preset.problem) });
  }
  if (problems.length > 0) return { ok: false, problems };
  const presets = [...found.values()].flatMap((each) => (each.ok ? [each.value] : []));
  const idOf = (name: string | undefined): string | undefined => {
    const preset = name === undefined ? undefined : found.get(name);
    return preset?.ok === true ? preset.value.id : undefined;
  };
  const { chords, ...tune } = tuneOf(chart);
  const byId = chords.map(({ preset, ...chord }) => ({
    ...chord,
    ...given('preset', idOf(preset)),
  }));
  return { ok: true, value: { tune: { ...tune, chords: byId }, presets } };
}

/** What is wrong has been said, and the exit code says it too. */
export async function tuneToPlay(
  { chart, written, follow: who }: AskedOfChart,
  streams: Streams,
  collection: PresetCollection,
): Promise<Read> {
  const reading = tuneReadings.find((each) => each === (written ?? 'with-growth'));
  if (reading === undefined) {
    const problem = `'--written' cannot be '${written}'; give ${tuneReadings.join(', ')}.`;
    return { ok: false, code: misuse(streams, problem, 'play') };
  }
  const follow = tuneFollows.find((each) => each === (who ?? 'player'));
  if (follow === undefined) {
    const problem = `'--follow' cannot be '${who}'; give ${tuneFollows.join(' or ')}.`;
    return { ok: false, code: misuse(streams, problem, 'play') };
  }
  if (chart === undefined) {
    const option = written === undefined ? 'follow' : 'written';
    if (written === undefined && who === undefined)
      return { ok: true, value: { stage: undefined, heading: {} } };
    return { ok: false, code: misuse(streams, `'--${option}' is for --chart.`, 'play') };
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
  const named = withPresets(parsed.value, collection);
  if (!named.ok) {
    sayProblems(named.problems, source, streams);
    return { ok: false, code: exitCodes.failed };
  }
  const { key, metres } = parsed.value;
  const heading = {
    ...(key !== undefined && { key: formatKey(key) }),
    metre: formatMetre(metres[0]),
  };
  return {
    ok: true,
    value: { stage: { ...named.value, reading, follow }, heading, chart: parsed.value },
  };
}
