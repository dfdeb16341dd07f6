/** `handspan revoice`: the chords of a MIDI file, voiced; everything else as it was. */

import { basename } from 'node:path';
import {
  defineCommand,
  exitCodes,
  failure,
  misuse,
  refusal,
  type Streams,
} from '../../cli/command.ts';
import { createProgressBar } from '../../cli/progress-bar.ts';
import { userFolders } from '../../io/files/folders.ts';
import { readMidiInput } from '../../io/files/midi-input-file.ts';
import { type OutputFile, prepareOutputFile } from '../../io/files/output-file.ts';
import { readPresets } from '../../io/files/preset-files.ts';
import type { IsWanted } from '../../midi/file-moments.ts';
import { type MidiFile, readMidiFile, sequenceName } from '../../midi/read-midi-file.ts';
import { progressionOfFile } from '../../revoice/file-progression.ts';
import { rolledManners } from '../../revoice/played-moments.ts';
import {
  type PartReport,
  type Revoiced,
  type RevoiceOptions,
  type RevoiceResult,
  revoiceMidiFile,
} from '../../revoice/revoice.ts';
import { type PlayValues, planPlay } from '../../session/plan.ts';
import type { TimbreName } from '../../sound/timbre.ts';
import { type PartValues, partOptions, wishOf } from '../part-wish.ts';
import {
  type OtherBytes,
  prepareScoreFiles,
  type ScoreFiles,
  type ScoreValues,
  scoreOptions,
} from '../scores/score-files.ts';
import { planWav, type WavValues, wavBytes, wavFile, wavOptions } from '../sound/wav.ts';
import { piecesOf, piecesProblem } from './pieces.ts';
import { strangeInput } from './strange-input.ts';
import { mendedLines, revoiceSummary } from './summary.ts';

type Values = ScoreValues &
  PartValues &
  WavValues &
  Pick<PlayValues, 'preset' | 'key' | 'register' | 'bass-register'> & {
    readonly out?: string;
    readonly leading?: string;
    readonly broken?: boolean;
    readonly rolled?: string;
    readonly 'ignore-symbols'?: boolean;
    readonly 'voiced-only'?: boolean;
    readonly json?: boolean;
    readonly force?: boolean;
  };

export const revoice = defineCommand({
  name: 'revoice',
  about:
    'Voices the chords of a MIDI file and writes a new one. The part with the most chords is ' +
    'read, together with what begins with them: a bass, the other hand of a piano. The new bass ' +
    'goes where the lowest of these parts was, the other voices where the chords were. Name ' +
    'tracks or channels to choose yourself. Chord symbols in the file (markers, texts) are ' +
    'believed where the notes agree with them; where there are no chords, the symbols are voiced ' +
    'on a new track. Everything that is no chord stays as it was: tempo, ' +
    'melody, drums, other tracks, controllers, lyrics, markers.',
  usage: ['revoice FILE --out FILE [OPTIONS]'],
  example: 'handspan revoice plain.mid -o voiced.mid --preset hybrid-major --key Eb',
  options: {
    out: { type: 'string', short: 'o', value: 'FILE', about: 'Where the voiced file goes' },
    preset: { type: 'string', value: 'NAME', about: 'Preset to voice with' },
    key: { type: 'string', value: 'KEY', about: "Key, such as 'Eb' or 'F#m'" },
    register: { type: 'string', value: 'LOW-HIGH', about: "Upper voices, such as 'D3-G4'" },
    'bass-register': { type: 'string', value: 'LOW-HIGH', about: "Bass, such as 'A1-C3'" },
    leading: {
      type: 'string',
      value: 'HOW',
      about: "'live': each voicing from the one before; 'best': over the whole of the file",
    },
    ...partOptions,
    broken: {
      type: 'boolean',
      about: 'Read broken chords (arpeggios) as chords: a bar, half a bar or a beat of one chord',
    },
    rolled: {
      type: 'string',
      value: 'HOW',
      about: "Strums and rolls: 'together' at their first note, or 'alike', rolled as they were",
    },
    'ignore-symbols': {
      type: 'boolean',
      about: 'Read the notes alone, whatever chord symbols the file has',
    },
    json: { type: 'boolean', about: 'Print what was voiced as JSON, a line for each chord read' },
    ...wavOptions,
    'voiced-only': { type: 'boolean', about: 'In the WAV file, the voiced chords alone' },
    ...scoreOptions,
    force: { type: 'boolean', about: 'Let files that are written overwrite others' },
  },
  maximumPositionals: 1,
  run: ({ values, positionals }, streams) => run(values, positionals[0], streams),
});

async function run(values: Values, input: string | undefined, streams: Streams): Promise<number> {
  if (input === undefined) return misuse(streams, "'revoice' needs a MIDI file.", 'revoice');
  if (values.out === undefined) {
    return misuse(streams, "'revoice' needs '--out FILE' to write to.", 'revoice');
  }
  const leading = leadingOf(values.leading);
  if (leading === undefined) {
    const problem = `'--leading ${values.leading}': there are live and best.`;
    return misuse(streams, problem, 'revoice');
  }
  const rolled = rolledOf(values.rolled);
  if (rolled === undefined) {
    const problem = `'--rolled ${values.rolled}': there are together and alike.`;
    return misuse(streams, problem, 'revoice');
  }
  const wish = wishOf(values);
  if (!wish.ok) return misuse(streams, wish.problem, 'revoice');
  const collection = await readPresets(userFolders(process.env).presets);
  const planned = planPlay(values, {}, collection);
  if (!planned.ok) return refusal(streams, planned, 'revoice');
  const isOverwriting = values.force === true;
  if (values['voiced-only'] === true && values.wav === undefined) {
    const problem = "'--voiced-only': nothing is to sound; add '--wav FILE.wav'.";
    return misuse(streams, problem, 'revoice');
  }
  const sound = await planWav(values);
  if (!sound.ok) return refusal(streams, sound, 'revoice');
  const others = [{ option: '--out', file: values.out }, wavFile(values)];
  const scores = prepareScoreFiles(values, isOverwriting, others);
  if (!scores.ok) return refusal(streams, scores, 'revoice');
  const read = await readMidiInput(input);
  if (!read.ok) return failure(streams, strangeInput(input) ?? read.problem);
  const { setup } = planned.value;
  const ignoresSymbols = values['ignore-symbols'] === true;
  const isBroken = values.broken === true;
  const job = {
    ...values,
    out: values.out,
    input,
    leading,
    setup,
    rolled,
    isBroken,
    ignoresSymbols,
    wish: wish.value,
    timbre: sound.value,
    isVoicedOnly: values['voiced-only'] === true,
  };
  return voicePieces(read.value, job, scores.value, streams);
}

/** All that can be known to fail is said before the work begins. */
async function voicePieces(
  file: MidiFile,
  job: Job & { readonly out: string; readonly force?: boolean },
  scores: ScoreFiles,
  streams: Streams,
): Promise<number> {
  const { input } = job;
  const pieces = piecesOf(file, job.wish ?? {}, job.out);
  const problem = piecesProblem(file, pieces, scores.isWanted);
  if (problem !== undefined) return failure(streams, `${input} ${problem}`);
  const outputs: OutputFile[] = [];
  for (const { path } of pieces) {
    const isOverwriting = job.force === true;
    const wanted = { what: 'voiced file', example: 'voiced.mid', isOverwriting };
    const output = prepareOutputFile(path, wanted);
    if (!output.ok) return failure(streams, output.problem);
    outputs.push(output.value);
  }
  for (const line of mendedLines(file)) streams.stderr.write(`handspan: ${line}\n`);
  let code: number = exitCodes.failed;
  for (const [place, output] of outputs.entries()) {
    const piece = pieces[place];
    if (piece === undefined) break;
    const own = { ...job, input: piece.name(input), wish: piece.wish };
    // A pattern of drums is no reason to call the others failed.
    code = Math.min(code, await voiceAndWrite(piece.file, own, output, scores, streams));
  }
  return code;
}

type Job = Pick<
  RevoiceOptions,
  'setup' | 'wish' | 'leading' | 'rolled' | 'isBroken' | 'ignoresSymbols'
> & {
  readonly input: string;
  readonly json?: boolean;
  readonly timbre: TimbreName;
  readonly isVoicedOnly: boolean;
};

async function voiceAndWrite(
  file: MidiFile,
  { input, json, timbre, isVoicedOnly, ...how }: Job,
  output: OutputFile,
  scores: ScoreFiles,
  streams: Streams,
): Promise<number> {
  const reports: PartReport[] = [];
  let read = 0;
  // Reports are text, and cost more than the voicing itself: made only where somebody wants them.
  const onReport = (report: PartReport): void => {
    read += 1;
    if (json === true) streams.stdout.write(jsonLine(report));
    if (scores.isWanted) reports.push(report);
  };
  const areWanted = json === true || scores.isWanted;
  const voiced = voice(file, { ...how, ...(areWanted && { onReport }) }, streams);
  if (!voiced.ok) return failure(streams, `${input} cannot be voiced: ${voiced.problem}.`);
  const saved = output.save(voiced.value.bytes);
  if (!saved.ok) return failure(streams, saved.problem);
  for (const line of revoiceSummary(voiced.value, saved.value, areWanted ? read : undefined)) {
    streams.stderr.write(`handspan: ${line}\n`);
  }
  if (!scores.isWanted) return exitCodes.fine;
  const title = sequenceName(file) || basename(input).replace(/\.midi?$/i, '');
  const { bytes, harmony } = voiced.value;
  const places = [harmony.upper, harmony.bass];
  const isVoiced: IsWanted = (track, channel) =>
    places.some((part) => part.track === track && part.channel === channel);
  const wav = wavBytes({
    midi: () => bytes,
    timbre,
    ...(isVoicedOnly && { isWanted: isVoiced }),
  });
  const about = { title, key: how.setup.key };
  return writeScores(voiced.value, reports, about, scores, { '--wav': wav }, streams);
}

/** Runs to the end, with a bar on the way. */
function voice(file: MidiFile, options: RevoiceOptions, streams: Streams): RevoiceResult {
  const bar = createProgressBar(streams.stderr, 'Voicing');
  const steps = revoiceMidiFile(file, options);
  let step = steps.next();
  for (; step.done !== true; step = steps.next()) bar.show(step.value.done, step.value.of);
  bar.clear();
  return step.value;
}

function writeScores(
  voiced: Revoiced,
  reports: readonly PartReport[],
  about: { readonly title: string; readonly key: string | undefined },
  scores: ScoreFiles,
  others: OtherBytes,
  streams: Streams,
): Promise<number> {
  const again = readMidiFile(voiced.bytes);
  if (!again.ok) throw new Error(`the voiced file cannot be read: ${again.problem}`);
  const progression = progressionOfFile(again.value, voiced, reports, about);
  return scores.write(progression, streams, others);
}

function jsonLine({ part, tick, report }: PartReport): string {
  const { track, channel } = part;
  return `${JSON.stringify({ track, channel: channel + 1, tick, ...report })}\n`;
}

function leadingOf(text = 'live'): RevoiceOptions['leading'] {
  return leadings.find((each) => each === text.trim().toLowerCase());
}

function rolledOf(text = 'together'): RevoiceOptions['rolled'] {
  return rolledManners.find((each) => each === text.trim().toLowerCase());
}

export const leadings = ['live', 'best'] as const;
