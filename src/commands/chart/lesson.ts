/** Several charts as one hand-out: a lesson. Each is voiced and told as it would be alone. */
import { exitCodes, misuse, refusal, type Streams } from '../../cli/command.ts';
import type { Treatment } from '../../compare/treatment.ts';
import { prepareScoreFiles, type ScoreValues } from '../scores/score-files.ts';
import { progressionOfCharts } from './chart-progression.ts';
import type { NamedPlan } from './compare-plan.ts';
import type { NamedChart } from './read-chart.ts';
import { type Telling, toldText } from './told.ts';
import { voiceAll } from './voice-all.ts';

type LessonValues = ScoreValues &
  Telling & {
    readonly force?: boolean;
    readonly [option: string]: unknown;
  };

/** What is made of one chart at a time. */
const ofOne = ['midi', 'wav', 'chart', 'listen', 'musicxml', 'svg', 'for', 'out'] as const;

export async function answerLesson(
  charts: readonly NamedChart[],
  plans: readonly NamedPlan[],
  values: LessonValues,
  streams: Streams,
): Promise<number> {
  const given = ofOne.find((option) => values[option] !== undefined && values[option] !== false);
  if (given !== undefined) {
    return misuse(streams, `'--${given}' is for one chart; several make a hand-out.`, 'chart');
  }
  const scores = prepareScoreFiles(values, values.force === true);
  if (!scores.ok) return refusal(streams, scores, 'chart');
  const lesson: (readonly Treatment[])[] = [];
  for (const { chart, source } of charts) {
    const treatments = voiceAll(chart, plans, source, streams);
    if (treatments === undefined) return exitCodes.failed;
    lesson.push(treatments);
  }
  const said = { isExplained: values.explain === true, reach: values.reach };
  const pieces = lesson.map((treatments) => progressionOfCharts(treatments, said));
  const code = await scores.value.write(pieces, streams);
  const told = lesson.map((treatments) => toldText(treatments, values, streams.stdout.columns));
  const text = values.json === true ? `{"charts":[${told.join(',')}]}` : told.join('\n\n');
  streams.stdout.write(`${text}\n`);
  return code;
}
