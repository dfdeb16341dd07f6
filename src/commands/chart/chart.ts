/** `handspan chart`: a chord chart voiced on the best path, in one treatment or several side by side. */
import { treatmentsToMidiFile } from '../../chart/midi-file.ts';
import { syntax, syntaxNotes } from '../../chart/syntax.ts';
import { writeChart } from '../../chart/write.ts';
import {
  defineCommand,
  exitCodes,
  failure,
  misuse,
  refusal,
  type Streams,
} from '../../cli/command.ts';
import { userFolders } from '../../io/files/folders.ts';
import { readPresets } from '../../io/files/preset-files.ts';
import { loadSettings } from '../../io/files/settings.ts';
import { paperOf, prepareScoreFiles, type ScoreValues } from '../scores/score-files.ts';
import { planWav, type WavValues, wavBytes, wavFile } from '../sound/wav.ts';
import { readChartInputs } from './chart-input.ts';
import type { ChartValues } from './chart-options.ts';
import { progressionOfCharts } from './chart-progression.ts';
import { type NamedPlan, planTreatments, reachOf } from './compare-plan.ts';
import { type OwnSections, type PlayersWish, planForPlayers, playedBy } from './for-players.ts';
import { answerLesson } from './lesson.ts';
import { type ListenWish, listenToCharts, listenWish } from './listen-to-chart.ts';
import { chartOptions } from './options.ts';
import { preparePartsFolder, writePartsFolder } from './parts-folder.ts';
import { type NamedChart, readCharts } from './read-chart.ts';
import { type Telling, toldText } from './told.ts';
import { voiceAll } from './voice-all.ts';

export const chart = defineCommand({
  name: 'chart',
  about:
    'Voices a chord chart: every chord with its notes and degrees from low to high, led along the ' +
    'best path over the whole. The chart is the text itself, a file of it, a MusicXML score with ' +
    `chord symbols (.musicxml, .mxl), or - for standard input. Several files make a lesson: one hand-out of all of them. ${syntaxNotes}`,
  table: { heading: 'Chart', rows: syntax },
  usage: [
    'chart TEXT [OPTIONS]',
    'chart FILE [OPTIONS]',
    'chart - [OPTIONS]',
    'chart FILE FILE ... --hand-out FILE.html',
  ],
  example: "handspan chart '| Dm7 | G7 | Cmaj7 | % |' --strategy drop-2",
  options: chartOptions,
  maximumPositionals: Number.POSITIVE_INFINITY,
  run: async ({ values, positionals }, streams) => {
    if (positionals.length === 0) {
      return misuse(streams, "'chart' needs a chart: its text, a file, or - .", 'chart');
    }
    const collection = await readPresets(userFolders(process.env).presets);
    const treatments = planTreatments(given(values), collection);
    if (!treatments.ok) return refusal(streams, treatments, 'chart');
    const sections = values.for === undefined ? {} : await ownSections(streams);
    const plans = planForPlayers(values, treatments.value, sections);
    if (!plans.ok) return refusal(streams, plans, 'chart');
    const reach = reachOf(values.reach, values.compare !== undefined);
    if (!reach.ok) return refusal(streams, reach, 'chart');
    const inputs = await readChartInputs(positionals, process.stdin);
    if (!inputs.ok) return failure(streams, inputs.problem);
    const charts = readCharts(inputs.value, values.melody === true, streams);
    const [first] = charts ?? [];
    if (charts === undefined || first === undefined) return exitCodes.failed;
    const wish = listenWish(values);
    if (!wish.ok) return misuse(streams, wish.problem, 'chart');
    const { players } = plans.value;
    const wanted = { ...values, reach: reach.value, listening: wish.value, players };
    return charts.length === 1
      ? answer(first, plans.value.plans, wanted, streams)
      : answerLesson(charts, plans.value.plans, wanted, streams);
  },
});

type Wanted = ScoreValues &
  WavValues &
  Telling & {
    readonly listening: ListenWish | undefined;
    /** Undefined: for nobody in particular. */
    readonly players: PlayersWish | undefined;
    readonly chart?: string;
    /** A folder for the parts of the players. */
    readonly out?: string;
    readonly midi?: string;
    readonly force?: boolean;
  };

/** From the settings. */
async function ownSections({ stderr }: Streams): Promise<OwnSections> {
  const { settings, notice } = await loadSettings(userFolders(process.env).settings);
  if (notice !== '') stderr.write(`handspan: ${notice}\n`);
  return settings.sections ?? {};
}

/** Only what was given: an option that is absent is no option. */
function given(values: { readonly [name: string]: unknown }): ChartValues {
  return Object.fromEntries(Object.entries(values).filter(([, value]) => value !== undefined));
}

async function answer(
  { chart: parsed, source }: NamedChart,
  plans: readonly NamedPlan[],
  values: Wanted,
  streams: Streams,
): Promise<number> {
  const { midi, chart: text, force: isOverwriting = false } = values;
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
  const { out } = values;
  const scores = prepareScoreFiles({ ...values, parts: out }, isOverwriting, others);
  if (!scores.ok) return refusal(streams, scores, 'chart');
  const folder = out === undefined ? undefined : preparePartsFolder(out, isOverwriting);
  if (folder?.ok === false) return failure(streams, folder.problem);
  const treatments = voiceAll(parsed, plans, source, streams);
  if (treatments === undefined) return exitCodes.failed;
  const played = playedBy(values.players, treatments);
  if (played?.ok === false) return failure(streams, played.problem);
  const midiFile = played?.value.midi ?? (() => treatmentsToMidiFile(treatments));
  const contents = {
    '--midi': { bytes: midiFile },
    '--wav': wavBytes({ midi: midiFile, timbre: sound.value }),
    '--chart': { bytes: () => new TextEncoder().encode(writeChart(parsed)) },
  };
  const said = { isExplained: values.explain === true, reach: values.reach };
  const progression = played?.value.score() ?? progressionOfCharts(treatments, said);
  const codes = [await scores.value.write(progression, streams, contents)];
  if (folder !== undefined && played !== undefined) {
    const paper = paperOf(values.paper) ?? 'A4';
    const wish = { paper, hasSymbols: values.symbols !== undefined };
    codes.push(await writePartsFolder(folder.value, played.value, wish, streams));
  }
  const told =
    played?.value.told(values.json === true) ??
    toldText(treatments, values, streams.stdout.columns);
  streams.stdout.write(`${told}\n`);
  if (values.listening !== undefined) {
    const heard = treatments.map((each) => ({ ...each, ...(played && { midi: midiFile() }) }));
    codes.push(await listenToCharts(heard, values.listening, sound.value, streams));
  }
  return codes.find((code) => code !== exitCodes.fine) ?? exitCodes.fine;
}
