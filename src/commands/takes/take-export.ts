/** A take as a MIDI file, a score or a hand-out. */

import { parseChart } from '../../chart/parse.ts';
import { misuse, refusal, type Streams } from '../../cli/command.ts';
import { given } from '../../common/given.ts';
import { counted } from '../../common/words.ts';
import type { TakeEntry } from '../../io/takes/take-store.ts';
import type { Progression } from '../../score/progression.ts';
import { progressionOfTake, type TakeWriting, toldOf } from '../../score/take-progression.ts';
import { chartOfChords } from '../../session/chart-of-chords.ts';
import { rowOf } from '../../session/chord-row.ts';
import type { Journal } from '../../take/journal.ts';
import { soundedTrack, takeToMidiFile } from '../../take/midi-file.ts';
import { pausesTold, withShortPauses } from '../../take/pauses.ts';
import { takeStart } from '../../take/take.ts';
import { prepareScoreFiles, type ScoreValues } from '../scores/score-files.ts';
import { listenTo } from '../sound/listen.ts';
import { pieceOf } from '../sound/piece.ts';
import { planWav, timbreOf, type WavValues, wavBytes, wavFile } from '../sound/wav.ts';
import { overTune } from './over-tune.ts';
import { meantTune } from './take-tune.ts';
import { readWriting, type WritingValues } from './take-writing.ts';

export type ExportValues = ScoreValues &
  WavValues &
  WritingValues & {
    readonly midi?: string;
    readonly chart?: string;
    readonly tune?: string;
    readonly 'per-voice'?: boolean;
    readonly title?: string;
    readonly force?: boolean;
    readonly loop?: boolean;
  };

/** Says what was written or went wrong; an exit code. */
export async function exportTake(
  whole: TakeEntry,
  values: ExportValues,
  streams: Streams,
): Promise<number> {
  const entry = shortened(whole, streams);
  const { metre } = entry.journal.head;
  const writing = readWriting(values.title ?? entry.name, { ...given('metre', metre), ...values });
  if (!writing.ok) return misuse(streams, writing.problem, 'takes');
  const written = { what: 'take', example: 'take.mid' };
  const asText = { what: 'chart', example: 'take.txt' };
  const others = [
    { option: '--midi', file: values.midi, written },
    { option: '--chart', file: values.chart, written: asText },
    wavFile(values),
  ];
  const sound = await planWav(values);
  if (!sound.ok) return refusal(streams, sound, 'takes');
  const scores = prepareScoreFiles(values, values.force === true, others);
  if (!scores.ok) return refusal(streams, scores, 'takes');
  if (!scores.value.isWanted) {
    const problem =
      "'takes export' needs a file: --midi, --chart, --wav, --musicxml, --svg or --hand-out.";
    return misuse(streams, problem, 'takes');
  }
  const tune = meantTune(entry.journal, values.tune);
  if (!tune.ok) return misuse(streams, tune.problem, 'takes');
  const { over, remarks } = overItsTune(entry, values, writing.value, tune.value.journal);
  const isOverTune = over !== undefined || values.chart !== undefined;
  const told = [isOverTune ? tune.value.remark : '', ...remarks].filter((each) => each !== '');
  for (const remark of told) streams.stderr.write(`handspan: ${remark}\n`);
  const progression = over ?? progressionOfTake(entry.journal, writing.value);
  const extent = counted(chordCount(entry), 'chord');
  const isPerVoice = values['per-voice'] === true;
  return scores.value.write(progression, streams, {
    '--midi': { bytes: () => midiBytes(entry, writing.value, isPerVoice), extent },
    '--chart': {
      bytes: () => chartBytes(tune.value.journal, streams, told),
      extent: counted(chordCount({ journal: tune.value.journal }), 'chord'),
    },
    '--wav': wavBytes({
      midi: () => midiBytes(entry, writing.value, false),
      timbre: sound.value,
      isWanted: (track) => track === soundedTrack,
      extent,
    }),
  });
}

/** In the bars of the tune it was played over, unless its own time is asked for. */
function overItsTune(
  { name }: TakeEntry,
  { title, tempo, metre, grid, ...values }: ExportValues,
  writing: TakeWriting,
  journal: Journal,
): { readonly over?: Progression; readonly remarks: readonly string[] } {
  const isOwnTime = [tempo, metre, grid].some((each) => each !== undefined);
  const isScore = [values.musicxml, values.svg, values['hand-out']].some(
    (each) => each !== undefined,
  );
  const asked = { title, name, key: writing.key };
  const over = isOwnTime || !isScore ? undefined : overTune(journal, asked);
  return { ...given('over', over?.progression), remarks: over?.remarks ?? [] };
}

/** @param told what was said already: of a score it may be the same. */
function chartBytes(
  { head, chords }: Journal,
  { stderr }: Streams,
  told: readonly string[],
): Uint8Array {
  const parsed = head.chart === undefined ? undefined : parseChart(head.chart);
  const key = head.key === '' ? undefined : head.key;
  const tune = parsed?.ok === true ? parsed.value : undefined;
  const { text, remark } = chartOfChords(rowOf(chords), key, tune);
  if (remark !== '' && !told.includes(remark)) stderr.write(`handspan: ${remark}\n`);
  return new TextEncoder().encode(text);
}

/** The take without hours in which nothing was played, which is said. */
function shortened(entry: TakeEntry, { stderr }: Streams): TakeEntry {
  const { take: journal, pauses } = withShortPauses(entry.journal);
  if (pauses.length > 0) stderr.write(`handspan: ${pausesTold(pauses)}\n`);
  return { ...entry, journal };
}

/** Plays what sounded, in its own time but for long pauses. */
export function listenToTake(
  entry: TakeEntry,
  { timbre, loop }: Pick<ExportValues, 'timbre' | 'loop'>,
  streams: Streams,
): Promise<number> {
  const named = timbreOf(timbre, true, '');
  if (!named.ok) return Promise.resolve(refusal(streams, named, 'takes'));
  const { journal } = shortened(entry, streams);
  const start = takeStart(journal);
  const chords = journal.chords.map(({ atMicroseconds, heard, sent }) => {
    const at = (atMicroseconds - start) / 1e6;
    const notes = sent.voices.map(({ name }) => name).join(' ');
    return { at, text: `${minutes(at).padEnd(7)}${(heard.symbol || '–').padEnd(12)}${notes}` };
  });
  const isWanted = (track: number) => track === soundedTrack;
  const piece = pieceOf(takeToMidiFile(journal), chords, [], isWanted);
  return listenTo(piece, { timbre: named.value, from: 0, isLooping: loop === true }, streams);
}

/** '1:05'. */
export function minutes(seconds: number): string {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

/** One that was voiced anew while it was held is one chord. */
export function chordCount({ journal: { chords } }: Pick<TakeEntry, 'journal'>): number {
  return chords.filter(({ isRevoiced }) => isRevoiced !== true).length;
}

function midiBytes(
  { journal }: TakeEntry,
  { tempo, metre }: TakeWriting,
  isPerVoice: boolean,
): Uint8Array {
  return takeToMidiFile(journal, {
    ...(journal.head.key !== '' && { key: journal.head.key }),
    ...(tempo !== undefined && { tempo }),
    ...(metre !== undefined && { metre }),
    ...(isPerVoice && { told: toldOf(journal) }),
  });
}
