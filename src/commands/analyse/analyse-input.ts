/** What `analyse` reads: a MIDI file, a score, a take by its name or file, or standard input. */
import { existsSync } from 'node:fs';
import { midiFileOfMusicXml } from '../../analyse/musicxml-file.ts';
import { changesOfTake, takeChangesRemark } from '../../analyse/take-changes.ts';
import { musicXmlText } from '../../chart/musicxml/musicxml-text.ts';
import { parseChart } from '../../chart/parse.ts';
import { ownCommand, typedWord } from '../../cli/own-command.ts';
import { visible } from '../../cli/visible.ts';
import type { Result } from '../../common/result.ts';
import { fileKind } from '../../io/files/file-kind.ts';
import { userFolders } from '../../io/files/folders.ts';
import { readMidiInput } from '../../io/files/midi-input-file.ts';
import { readBytes } from '../../io/files/text-file.ts';
import { takeEnding } from '../../io/takes/take-store.ts';
import { parseMetre } from '../../midi/metre.ts';
import { type MidiFile, readMidiFile } from '../../midi/read-midi-file.ts';
import { tunesOf } from '../../take/journal.ts';
import { takeToMidiFile } from '../../take/midi-file.ts';
import { findTake } from '../takes/find-take.ts';
import { titleOfChart } from '../takes/take-tune.ts';

export type StandardInput = AsyncIterable<Uint8Array | string>;

/** An hour of the densest playing has some 3 MB. */
const mostBytes = 256 * 1024 * 1024;

async function bytesFrom(input: StandardInput): Promise<Result<Uint8Array>> {
  const pieces: Buffer[] = [];
  let length = 0;
  for await (const piece of input) {
    const bytes = Buffer.from(piece);
    length += bytes.length;
    if (length > mostBytes) {
      const problem = `standard input has more than ${mostBytes} bytes, too many for music.`;
      return { ok: false, problem };
    }
    pieces.push(bytes);
  }
  return { ok: true, value: Buffer.concat(pieces) };
}

/** Of a text so much is looked at, to tell whether it is a chart. */
const longestChart = 64 * 1024;
const standardInput = 'standard input';

const takesFolder = (): string => userFolders(process.env).takes;

/** Music to be analysed, and what has to be said of how it is read: sentences. */
export type AnalyseInput = { readonly file: MidiFile; readonly remarks: readonly string[] };

/** A file of a take; or no file, and a take is called so. */
function isTake(name: string): boolean {
  if (name.endsWith(takeEnding)) return true;
  return !existsSync(name) && findTake(takesFolder(), name).ok;
}

/** What sounded of a take, in its own time: by its clock, or by seconds as at 120 a minute. */
function readTake(name: string, hasChanges: boolean): Result<AnalyseInput> {
  const found = findTake(takesFolder(), name);
  if (!found.ok) return found;
  const { journal: whole } = found.value;
  const changes = hasChanges ? undefined : changesOfTake(whole.chords);
  const journal = changes === undefined ? whole : { ...whole, chords: changes.chords };
  const metre = parseMetre(journal.head.metre ?? '');
  const bytes = takeToMidiFile(journal, {
    ...(journal.head.key !== '' && { key: journal.head.key }),
    ...(metre !== undefined && { metre }),
  });
  const tunes = tunesOf(whole);
  const over =
    tunes.length === 1
      ? `the tune ${titleOfChart(tunes[0]?.chart ?? '')}`
      : `${tunes.length} tunes`;
  const read =
    changes === undefined || tunes.length === 0
      ? []
      : [`${name} ${takeChangesRemark(changes, visible(over))}`];
  const remark = `${name} was played without a clock: its bars and beats are counted as at 120 a minute.`;
  return plainly(name, readMidiFile(bytes), [...read, ...(journal.clock?.length ? [] : [remark])]);
}

function plainly(
  name: string,
  read: ReturnType<typeof readMidiFile>,
  remarks: readonly string[] = [],
): Result<AnalyseInput> {
  if (read.ok) return { ok: true, value: { file: read.value, remarks } };
  return { ok: false, problem: `${name} cannot be read: ${read.problem}.` };
}

async function readNamed(name: string, hasChanges: boolean): Promise<Result<AnalyseInput>> {
  if (isTake(name)) return readTake(name, hasChanges);
  if (name.includes('|')) {
    const typed = chartProblem(new TextEncoder().encode(name), name);
    if (typed !== undefined) return { ok: false, problem: typed };
  }
  const kind = fileKind(name);
  const isScore = kind === 'musicxml' || (kind === 'zip' && /\.mxl$/iu.test(name));
  if (isScore) return readScore(name);
  const chart = kind === 'other' ? await chartIn(name) : undefined;
  if (chart !== undefined) return { ok: false, problem: chart };
  const read = await readMidiInput(name);
  return read.ok ? { ok: true, value: { file: read.value, remarks: [] } } : read;
}

/** A text of chords: who reads it, in one sentence; undefined: it is none. */
async function chartIn(name: string): Promise<string | undefined> {
  const bytes = await readBytes(name);
  return bytes.ok ? chartProblem(bytes.value, name) : undefined;
}

function chartProblem(bytes: Uint8Array, name: string, typed = typedWord(name)) {
  const text = new TextDecoder().decode(bytes.subarray(0, longestChart));
  const isChart = /\|/u.test(text) && parseChart(text).ok;
  if (!isChart) return undefined;
  const voiced = ownCommand(`chart ${typed}`);
  const known = ownCommand(`analyse FILE --chart ${typed}`);
  return `${name} is a chart, with no notes to analyse: '${voiced}' voices it, and '${known}' analyses music whose changes it has.`;
}

/** Packed or not. */
async function readScore(name: string): Promise<Result<AnalyseInput>> {
  const bytes = await readBytes(name);
  return bytes.ok ? midiOfScore(bytes.value, name) : bytes;
}

function midiOfScore(bytes: Uint8Array, name: string): Result<AnalyseInput> {
  const text = musicXmlText(bytes);
  const made = text.ok ? midiFileOfMusicXml(text.value) : text;
  if (!made.ok) return { ok: false, problem: `${name} cannot be read: ${made.problem}.` };
  const remark = `${name} has repeats: they are played, and bars are counted as they are played.`;
  return plainly(name, readMidiFile(made.value.bytes), made.value.hasRepeats ? [remark] : []);
}

/** A score begins with a bracket, or is packed. */
function isScoreIn([first, second]: Uint8Array): boolean {
  return first === 0x3c || first === 0xef || (first === 0x50 && second === 0x4b);
}

/**
 * The problem is one sentence.
 * @param hasChanges what a take was played over is not asked: the changes are given, or not wanted.
 */
export async function readAnalyseInput(
  name: string,
  input: StandardInput,
  hasChanges: boolean,
): Promise<Result<AnalyseInput>> {
  if (name !== '-') return readNamed(name, hasChanges);
  const bytes = await bytesFrom(input);
  if (!bytes.ok) return bytes;
  if (bytes.value.length === 0) {
    return { ok: false, problem: 'standard input is empty: pipe a MIDI file into it.' };
  }
  if (isScoreIn(bytes.value)) return midiOfScore(bytes.value, standardInput);
  const chart = chartProblem(bytes.value, standardInput, '-');
  if (chart !== undefined) return { ok: false, problem: chart };
  return plainly(standardInput, readMidiFile(bytes.value));
}
