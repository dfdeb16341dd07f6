/** What `analyse` reads: a MIDI file, a score, a take by its name or file, or standard input. */
import { existsSync } from 'node:fs';
import { midiFileOfMusicXml } from '../../analyse/musicxml-file.ts';
import { musicXmlText } from '../../chart/musicxml/musicxml-text.ts';
import type { Result } from '../../common/result.ts';
import { fileKind } from '../../io/files/file-kind.ts';
import { userFolders } from '../../io/files/folders.ts';
import { readMidiInput } from '../../io/files/midi-input-file.ts';
import { readBytes } from '../../io/files/text-file.ts';
import { takeEnding } from '../../io/takes/take-store.ts';
import { parseMetre } from '../../midi/metre.ts';
import { type MidiFile, readMidiFile } from '../../midi/read-midi-file.ts';
import { takeToMidiFile } from '../../take/midi-file.ts';
import { findTake } from '../takes/find-take.ts';

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

const takesFolder = (): string => userFolders(process.env).takes;

/** A file of a take; or no file, and a take is called so. */
function isTake(name: string): boolean {
  if (name.endsWith(takeEnding)) return true;
  return !existsSync(name) && findTake(takesFolder(), name).ok;
}

/** What sounded of a take, in its own time: by its clock, or by seconds as at 120 a minute. */
function readTake(name: string): Result<MidiFile> {
  const found = findTake(takesFolder(), name);
  if (!found.ok) return found;
  const { journal } = found.value;
  const metre = parseMetre(journal.head.metre ?? '');
  const bytes = takeToMidiFile(journal, {
    ...(journal.head.key !== '' && { key: journal.head.key }),
    ...(metre !== undefined && { metre }),
  });
  const read = readMidiFile(bytes);
  return read.ok ? read : { ok: false, problem: `${name} cannot be read: ${read.problem}.` };
}

function readNamed(name: string): Promise<Result<MidiFile>> | Result<MidiFile> {
  if (isTake(name)) return readTake(name);
  const kind = fileKind(name);
  const isScore = kind === 'musicxml' || (kind === 'zip' && /\.mxl$/iu.test(name));
  return isScore ? readScore(name) : readMidiInput(name);
}

/** Packed or not. */
async function readScore(name: string): Promise<Result<MidiFile>> {
  const bytes = await readBytes(name);
  return bytes.ok ? midiOfScore(bytes.value, name) : bytes;
}

function midiOfScore(bytes: Uint8Array, name: string): Result<MidiFile> {
  const text = musicXmlText(bytes);
  const made = text.ok ? midiFileOfMusicXml(text.value) : text;
  if (!made.ok) return { ok: false, problem: `${name} cannot be read: ${made.problem}.` };
  const read = readMidiFile(made.value);
  return read.ok ? read : { ok: false, problem: `${name} cannot be read: ${read.problem}.` };
}

/** A score begins with a bracket, or is packed. */
function isScoreIn([first, second]: Uint8Array): boolean {
  return first === 0x3c || first === 0xef || (first === 0x50 && second === 0x4b);
}

/** The problem is one sentence. */
export async function readAnalyseInput(
  name: string,
  input: StandardInput,
): Promise<Result<MidiFile>> {
  if (name !== '-') return readNamed(name);
  const bytes = await bytesFrom(input);
  if (!bytes.ok) return bytes;
  if (bytes.value.length === 0) {
    return { ok: false, problem: 'standard input is empty: pipe a MIDI file into it.' };
  }
  if (isScoreIn(bytes.value)) return midiOfScore(bytes.value, 'standard input');
  const read = readMidiFile(bytes.value);
  return read.ok ? read : { ok: false, problem: `standard input cannot be read: ${read.problem}.` };
}
