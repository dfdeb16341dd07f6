/** A chart voiced in each treatment that is asked for; what is wrong with one is said. */
import type { Chart } from '../../chart/chart.ts';
import { smallestRegister } from '../../chart/smallest-register.ts';
import { type ChartSetup, voiceChart } from '../../chart/voice.ts';
import { failure, type Streams } from '../../cli/command.ts';
import type { Treatment } from '../../compare/treatment.ts';
import { formatRegister } from '../../presets/register.ts';
import type { ChartPlan } from './chart-options.ts';
import type { NamedPlan } from './compare-plan.ts';
import { sayProblems } from './read-chart.ts';

function setupOf(parsed: Chart, { preset, key, bassRegister, presetNamed }: ChartPlan): ChartSetup {
  const registers = bassRegister === undefined ? {} : { bass: bassRegister };
  return { preset, key: key ?? parsed.key, registers, presetNamed };
}

/** The chart in each treatment; undefined when something is wrong, and then that has been said. */
export function voiceAll(
  parsed: Chart,
  plans: readonly NamedPlan[],
  source: string,
  streams: Streams,
): readonly Treatment[] | undefined {
  const treatments: Treatment[] = [];
  for (const plan of plans) {
    const setup = setupOf(parsed, plan);
    const problem = plan.upper && problemWithRegister(parsed, setup, plan.upper);
    if (problem !== undefined) {
      failure(streams, problem);
      return undefined;
    }
    const voiced = voiceChart(parsed, setup);
    if (voiced.problems.length > 0) {
      sayProblems(voiced.problems, source, streams);
      return undefined;
    }
    treatments.push({ name: plan.name, voiced });
  }
  return treatments;
}

/** A register that was asked for is not widened in silence. */
function problemWithRegister(
  parsed: Chart,
  setup: ChartSetup,
  asked: NonNullable<ChartPlan['upper']>,
): string | undefined {
  const enough = smallestRegister(parsed, setup, asked);
  if (enough === asked) return undefined;
  const { strategy, voices } = setup.preset;
  const shown = `'--register': ${formatRegister(asked)} is too small for this chart in '${strategy}' with ${voices} voices`;
  return enough === undefined
    ? `${shown}; choose another part of the keyboard, such as D3-G5.`
    : `${shown}; the smallest that works there is ${formatRegister(enough)}.`;
}
