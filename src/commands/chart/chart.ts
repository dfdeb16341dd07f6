/** `handspan chart`: a chord chart voiced on the best path, as text, JSON or a MIDI file. */
import type { Chart } from '../../chart/chart.ts';
import { chartToMidiFile } from '../../chart/midi-file.ts';
import { chartReport, formatChart } from '../../chart/report.ts';
import { smallestRegister } from '../../chart/smallest-register.ts';
import { syntax, syntaxNotes } from '../../chart/syntax.ts';
import { type ChartSetup, voiceChart } from '../../chart/voice.ts';
import { writeChart } from '../../chart/write.ts';
import {
  defineCommand,
  exitCodes,
  failure,
  misuse,
  refusal,
  type Streams,
} from '../../cli/command.ts';
import { keyForms } from '../../harmony/key/key.ts';
import { userFolders } from '../../io/files/folders.ts';
import { readPresets } from '../../io/files/preset-files.ts';
import { formatRegister } from '../../presets/register.ts';
import { prepareScoreFiles, type ScoreValues, scoreOptions } from '../scores/score-files.ts';
import { planWav, type WavValues, wavBytes, wavFile, wavOptions } from '../sound/wav.ts';
import { readChartInput } from './chart-input.ts';
import { type ChartPlan, type ChartValues, planChart } from './chart-options.ts';
import { progressionOfChart } from './chart-progression.ts';
import { type ListenWish, listenToChart, listenWish } from './listen-to-chart.ts';
import { readChart, refuseChart, sayProblems } from './read-chart.ts';

export const chart = defineCommand({
  name: 'chart',
  about:
    'Voices a chord chart: every chord with its notes and degrees from low to high, led along the ' +
    'best path over the whole. The chart is the text itself, a file of it, a MusicXML score with ' +
    `chord symbols (.musicxml, .mxl), or - for standard input. ${syntaxNotes}`,
  table: { heading: 'Chart', rows: syntax },
  usage: ['chart TEXT [OPTIONS]', 'chart FILE [OPTIONS]', 'chart - [OPTIONS]'],
  example: "handspan chart '| Dm7 | G7 | Cmaj7 | % |' --strategy drop-2",
  options: {
    preset: { type: 'string', value: 'NAME', about: 'Voice with this preset' },
    strategy: { type: 'string', value: 'NAME', about: 'Build voicings this way instead' },
    shape: {
      type: 'string',
      value: 'DEGREES',
      about: "A shape of your own, lowest first: '1 5 9 b3 b7', '1 / 7 3 5'",
    },
    key: {
      type: 'string',
      value: 'KEY',
      about: `The key, instead of the chart's own: ${keyForms}`,
    },
    register: {
      type: 'string',
      value: 'LOW-HIGH',
      about: 'Where the upper voices stand, such as D3-G4 or 50-67',
    },
    'bass-register': { type: 'string', value: 'LOW-HIGH', about: 'Where the bass stands' },
    bass: {
      type: 'string',
      value: 'POLICY',
      about: 'root, third, fifth, seventh, as-played, pedal (or pedal=A1), line or none',
    },
    voices: { type: 'string', value: 'N', about: 'Voices above the bass' },
    melody: { type: 'boolean', about: 'Of a MusicXML score: harmonise under its melody' },
    json: { type: 'boolean', about: 'Answer as JSON' },
    midi: { type: 'string', value: 'FILE', about: 'Also write a MIDI file' },
    chart: {
      type: 'string',
      value: 'FILE',
      about: 'Also write the chart itself as text, each symbol in one form',
    },
    ...wavOptions,
    listen: { type: 'boolean', about: 'Play it at its tempo on the built-in sound' },
    'from-bar': {
      type: 'string',
      value: 'N',
      about: 'Listen from this bar on, as they are played',
    },
    loop: { type: 'boolean', about: 'Listen again and again' },
    click: { type: 'boolean', about: 'Listen with a click on every beat' },
    'count-in': { type: 'boolean', about: 'Listen after a bar that is counted' },
    ...scoreOptions,
    force: { type: 'boolean', about: 'Let files that are written overwrite others' },
  },
  maximumPositionals: Number.POSITIVE_INFINITY,
  run: async ({ values, positionals }, streams) => {
    if (positionals.length === 0) {
      return misuse(streams, "'chart' needs a chart: its text, a file, or - .", 'chart');
    }
    const plan = planChart(given(values), await readPresets(userFolders(process.env).presets));
    if (!plan.ok) return refusal(streams, plan, 'chart');
    const input = await readChartInput(positionals, process.stdin);
    if (!input.ok) return failure(streams, input.problem);
    const { source } = input.value;
    const parsed = readChart(input.value, values.melody === true);
    if (!parsed.ok) return refuseChart(parsed, source, streams);
    sayProblems(parsed.remarks, source, streams);
    const wish = listenWish(values);
    if (!wish.ok) return misuse(streams, wish.problem, 'chart');
    return answer(parsed.value, plan.value, { ...values, source, listening: wish.value }, streams);
  },
});

type Wanted = ScoreValues &
  WavValues & {
    readonly listening: ListenWish | undefined;
    /** What the chart is called in messages. */
    readonly source: string;
    readonly chart?: string;
    readonly json?: boolean;
    readonly midi?: string;
    readonly force?: boolean;
  };

/** Only what was given: an option that is absent is no option. */
function given(values: { readonly [name: string]: unknown }): ChartValues {
  return Object.fromEntries(Object.entries(values).filter(([, value]) => value !== undefined));
}

function setupOf(parsed: Chart, { preset, key, bassRegister, presetNamed }: ChartPlan): ChartSetup {
  const registers = bassRegister === undefined ? {} : { bass: bassRegister };
  return { preset, key: key ?? parsed.key, registers, presetNamed };
}

async function answer(
  parsed: Chart,
  plan: ChartPlan,
  values: Wanted,
  streams: Streams,
): Promise<number> {
  const { json, midi, chart: text, force: isOverwriting = false } = values;
  const others = [
    { option: '--midi', file: midi, written: { what: 'MIDI file', example: 'chart.mid' } },
    wavFile(values),
    { option: '--chart', file: text, written: { what: 'chart', example: 'chart.txt' } },
  ];
  const sound = await planWav(values, {
    isWished: values.listening !== undefined,
    how: "'--listen'",
  });
  if (!sound.ok) return refusal(streams, sound, 'chart');
  const scores = prepareScoreFiles(values, isOverwriting, others);
  if (!scores.ok) return refusal(streams, scores, 'chart');
  const setup = setupOf(parsed, plan);
  if (plan.upper !== undefined) {
    const problem = problemWithRegister(parsed, setup, plan.upper);
    if (problem !== undefined) return failure(streams, problem);
  }
  const voiced = voiceChart(parsed, setup);
  if (voiced.problems.length > 0) {
    sayProblems(voiced.problems, values.source, streams);
    return exitCodes.failed;
  }
  const contents = {
    '--midi': { bytes: () => chartToMidiFile(voiced) },
    '--wav': wavBytes({ midi: () => chartToMidiFile(voiced), timbre: sound.value }),
    '--chart': { bytes: () => new TextEncoder().encode(writeChart(parsed)) },
  };
  const code = await scores.value.write(progressionOfChart(voiced), streams, contents);
  const told = json === true ? JSON.stringify(chartReport(voiced)) : formatChart(voiced).trimEnd();
  streams.stdout.write(`${told}\n`);
  if (values.listening === undefined) return code;
  const heard = await listenToChart(voiced, values.listening, sound.value, streams);
  return code === exitCodes.fine ? heard : code;
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
