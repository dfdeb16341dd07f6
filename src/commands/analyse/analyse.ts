/** `handspan analyse`: how a passage is built, chord by chord, and what its chords have in common. */
import { basename } from 'node:path';
import {
  type Analysis,
  type AnalysisWish,
  analyse as analysePassage,
} from '../../analyse/analyse.ts';
import { compareText, type NamedAnalysis } from '../../analyse/compare-text.ts';
import { changesRemark } from '../../analyse/given-chart.ts';
import { learnedSentences } from '../../analyse/learned-text.ts';
import { type MidiWish, passageOfMidi } from '../../analyse/midi-passage.ts';
import { progressionOf } from '../../analyse/progression-of.ts';
import { analysisReport, reportPieces } from '../../analyse/report.ts';
import { analysisText } from '../../analyse/text.ts';
import {
  defineCommand,
  exitCodes,
  failure,
  misuse,
  refusal,
  type Streams,
} from '../../cli/command.ts';
import { createProgressBar } from '../../cli/progress-bar.ts';
import type { Result } from '../../common/result.ts';
import { keyForms, parseKey } from '../../harmony/key/key.ts';
import { formatProblem } from '../../presets/problem.ts';
import { readChartInput } from '../chart/chart-input.ts';
import { readChart, sayProblems } from '../chart/read-chart.ts';
import { type PartValues, partOptions, wishOf } from '../part-wish.ts';
import { prepareScoreFiles, type ScoreValues, scoreOptions } from '../scores/score-files.ts';
import { readAnalyseInput } from './analyse-input.ts';
import { type LearnValues, learnedJson, learnPreset } from './learn-preset.ts';

type Values = ScoreValues &
  PartValues & {
    readonly key?: string;
    readonly chart?: string;
    readonly 'from-bar'?: string;
    readonly 'ignore-symbols'?: boolean;
    readonly preset?: string;
    readonly 'hold-out'?: boolean;
    readonly json?: boolean;
    readonly force?: boolean;
  };

export const analyse = defineCommand({
  name: 'analyse',
  about:
    'Tells how a passage is built: every chord with its notes and degrees from low to high, its ' +
    'technique and what shows it, its bass, its spacing, how it follows from the chord before and ' +
    'how sure that is; then what the chords have in common. FILE is a MIDI file, a MusicXML score, ' +
    'a take by its name, or - for standard input. The part with the most chords is read, with what begins with them; melodies ' +
    'and passing notes are set aside, and that is said. Two files are laid side by side.',
  usage: ['analyse FILE [OPTIONS]', 'analyse - [OPTIONS]', 'analyse FILE FILE [OPTIONS]'],
  example: 'handspan analyse passage.mid --key Eb',
  options: {
    key: { type: 'string', value: 'KEY', about: `The key, where it is known: ${keyForms}` },
    chart: {
      type: 'string',
      value: 'CHART',
      about: 'The changes, where they are known: a chart or a file of one, from the first bar on',
    },
    'from-bar': { type: 'string', value: 'N', about: 'Look at the chords from this bar on' },
    ...partOptions,
    'ignore-symbols': {
      type: 'boolean',
      about: 'Read the notes alone, whatever chord symbols the file has',
    },
    preset: {
      type: 'string',
      value: 'NAME',
      about: 'Make a preset of this name that plays like it, and tell how near it comes',
    },
    'hold-out': {
      type: 'boolean',
      about: 'Learn from the first half alone, and tell how near it comes to the second',
    },
    json: { type: 'boolean', about: 'Answer as JSON' },
    ...scoreOptions,
    force: { type: 'boolean', about: 'Let files that are written overwrite others' },
  },
  maximumPositionals: 2,
  run: async ({ values, positionals }, streams) => {
    const [name, other] = positionals;
    if (name === undefined) return misuse(streams, "'analyse' needs a file, or - .", 'analyse');
    const wish = analysisWish(values);
    if (!wish.ok) return misuse(streams, wish.problem, 'analyse');
    const parts = wishOf(values);
    if (!parts.ok) return misuse(streams, parts.problem, 'analyse');
    const scores = prepareScoreFiles(values, values.force === true);
    if (!scores.ok) return refusal(streams, scores, 'analyse');
    const changes = await givenChanges(values.chart, streams);
    if (!changes.ok) return failure(streams, changes.problem);
    const ignoresSymbols = values['ignore-symbols'] === true;
    const read: Reading = {
      parts: { ...parts.value, ignoresSymbols },
      wish: { ...wish.value, ...changes.value },
    };
    const found = await analysisOf(name, read, streams);
    if (!found.ok) return failure(streams, found.problem);
    const { analysis } = found.value;
    if (other !== undefined) {
      const problem = compareProblem(values, scores.value.isWanted);
      if (problem !== '') return misuse(streams, problem, 'analyse');
      const first = { name: sourceOf(name), ...found.value };
      return compare(first, other, read, values.json === true, streams);
    }
    const source = sourceOf(name);
    const code = await answer(found.value, { ...values, source }, streams);
    if (code !== exitCodes.fine || !scores.value.isWanted) return code;
    const title = analysis.passage.title || basename(source).replace(/\.[a-z]+$/iu, '');
    return scores.value.write(progressionOf(analysis, title), streams);
  },
});

type Reading = { readonly parts: MidiWish; readonly wish: AnalysisWish };

function sourceOf(name: string): string {
  return name === '-' ? 'standard input' : name;
}

type Read = {
  readonly analysis: Analysis;
  /** How it was read and what was set aside: sentences, which are said on standard error. */
  readonly remarks: readonly string[];
};

/** The problem is one sentence. */
async function analysisOf(
  name: string,
  { parts, wish }: Reading,
  streams: Streams,
): Promise<Result<Read>> {
  const hasChanges = wish.chart !== undefined || parts.ignoresSymbols === true;
  const file = await readAnalyseInput(name, process.stdin, hasChanges);
  if (!file.ok) return file;
  const refuse = (problem: string) => ({
    ok: false as const,
    problem: `${sourceOf(name)} cannot be analysed: ${problem}.`,
  });
  const passage = passageOfMidi(file.value.file, parts);
  if (!passage.ok) return refuse(passage.problem);
  const bar = createProgressBar(streams.stderr, 'Analysing');
  const analysis = analysePassage(passage.value, { ...wish, onProgress: bar.show });
  bar.clear();
  if (!analysis.ok) return refuse(analysis.problem);
  const { changes } = analysis.value;
  const fit = changes === undefined ? '' : changesRemark(changes);
  const remarks = [
    ...file.value.remarks,
    ...passage.value.left.map((line) => `set aside: ${line}`),
    ...(fit === '' ? [] : [`'--chart': ${fit}`]),
  ];
  for (const line of remarks) streams.stderr.write(`handspan: ${line}\n`);
  return { ok: true, value: { analysis: analysis.value, remarks } };
}

/** The passage beside another one. */
async function compare(
  first: NamedAnalysis & Read,
  other: string,
  read: Reading,
  isJson: boolean,
  streams: Streams,
): Promise<number> {
  const found = await analysisOf(other, read, streams);
  if (!found.ok) return failure(streams, found.problem);
  const second = { name: sourceOf(other), ...found.value };
  streams.stdout.write(isJson ? compareJson([first, second]) : compareText(first, second));
  return exitCodes.fine;
}

/** What two passages side by side cannot be asked for; '' for nothing. */
function compareProblem({ preset, 'hold-out': isHeldOut }: Values, areScores: boolean): string {
  if (preset === undefined && isHeldOut !== true && !areScores) return '';
  return 'presets and scores are made of one passage; name one file.';
}

function compareJson(both: readonly (NamedAnalysis & Read)[]): string {
  const passages = both.map(({ name: file, analysis, remarks }) => ({
    file,
    ...analysisReport(analysis),
    remarks,
  }));
  return `${JSON.stringify({ passages })}\n`;
}

async function answer(
  { analysis, remarks }: Read,
  values: LearnValues & { readonly json?: boolean },
  streams: Streams,
): Promise<number> {
  const learned = await learnPreset(analysis, values);
  if (learned?.ok === false) return failure(streams, learned.problem);
  const { chords } = analysis;
  const own = learned?.value;
  if (values.json === true) {
    const learnedPart = own === undefined ? {} : { learned: learnedJson(own, chords) };
    const report = { remarks, ...learnedPart };
    for (const piece of reportPieces(analysis, report)) streams.stdout.write(piece);
  } else {
    const lines = own === undefined ? [] : ['', ...learnedSentences(own.learned, chords)];
    streams.stdout.write(`${analysisText(analysis)}${lines.map((line) => `${line}\n`).join('')}`);
  }
  for (const line of own?.remarks ?? []) streams.stderr.write(`handspan: ${line}\n`);
  return exitCodes.fine;
}

/** The chart that was given; the problem is one sentence. */
async function givenChanges(
  text: string | undefined,
  streams: Streams,
): Promise<Result<Pick<AnalysisWish, 'chart'>>> {
  if (text === undefined) return { ok: true, value: {} };
  const input = await readChartInput([text], process.stdin);
  if (!input.ok) return input;
  const parsed = readChart(input.value, false);
  if (!parsed.ok) {
    const [first] = parsed.problems;
    const where =
      first === undefined ? 'it is no chart.' : formatProblem(input.value.source, first);
    return { ok: false, problem: `'--chart': ${where}` };
  }
  sayProblems(parsed.remarks, input.value.source, streams);
  return { ok: true, value: { chart: parsed.value } };
}

function analysisWish(values: Values): Result<AnalysisWish> {
  const { key: keyText, 'from-bar': barText } = values;
  const key = keyText === undefined ? undefined : parseKey(keyText);
  if (key?.ok === false) return { ok: false, problem: `'--key': ${key.problem}.` };
  if (barText !== undefined && !/^[1-9]\d{0,5}$/u.test(barText.trim())) {
    const problem = `'--from-bar ${barText}': bars are counted from 1; give the number of one, such as 9.`;
    return { ok: false, problem };
  }
  return {
    ok: true,
    value: {
      ...(key !== undefined && { key: key.value }),
      ...(barText !== undefined && { fromBar: Number(barText) }),
    },
  };
}
