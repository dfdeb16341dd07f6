/**
 * Where a chart's text comes from: the words themselves, a file, or standard input. One word that
 * names a file is that file; one that looks like a file's name and is none is a mistake.
 */

import { existsSync } from 'node:fs';
import { musicXmlText } from '../../chart/musicxml/musicxml-text.ts';
import { ownCommand, typedWord } from '../../cli/own-command.ts';
import type { Result } from '../../common/result.ts';
import { type FileKind, fileKind } from '../../io/files/file-kind.ts';
import { readBytes, readTextFile } from '../../io/files/text-file.ts';

export type ChartInput = {
  readonly text: string;
  /** It is a MusicXML score and no chart's text. */
  readonly isMusicXml: boolean;
  /** For problems with a place: the file's name, or 'chart'. */
  readonly source: string;
};

type Read = Result<ChartInput>;

/** Far above any chart, far below what would stop the program. */
const mostCharacters = 5_000_000;

/** A name with an ending or a folder in it. A slash chord has a capital letter behind its slash. */
const fileName = /^(?:\.{0,2}[\\/]|~|[^|\s]*\.[a-z]{2,5}$)/u;

export type StandardInput = AsyncIterable<Uint8Array | string>;

async function readStandardInput(input: StandardInput): Promise<Read> {
  const decoder = new TextDecoder();
  let text = '';
  for await (const chunk of input) {
    text += typeof chunk === 'string' ? chunk : decoder.decode(chunk, { stream: true });
    if (text.length > mostCharacters) {
      const problem = `standard input holds more than ${mostCharacters} characters; give a chart.`;
      return { ok: false, problem };
    }
  }
  return { ok: true, value: { text, source: 'standard input', isMusicXml: false } };
}

/** What to do with a file of another kind. */
const advice: Readonly<Partial<Record<FileKind, (name: string) => string>>> = {
  midi: (name) =>
    `a MIDI file; '${ownCommand(`revoice ${typedWord(name)} -o voiced.mid`)}' voices its chords`,
  xml: () => 'XML, but no MusicXML score',
  pdf: () => 'a PDF; a chart is text',
  picture: () => 'a picture; a chart is text',
  json: (name) =>
    `JSON; a chart is text, and '${ownCommand(`presets check ${typedWord(name)}`)}' reads presets`,
};

function written(text: string): ChartInput {
  return { text, source: 'chart', isMusicXml: false };
}

/** Packed or not. */
async function readScore(name: string): Promise<Read> {
  const bytes = await readBytes(name);
  if (!bytes.ok) return bytes;
  const text = musicXmlText(bytes.value);
  return text.ok
    ? { ok: true, value: { text: text.value, source: name, isMusicXml: true } }
    : { ok: false, problem: `${name} cannot be read: ${text.problem}.` };
}

/** A file, whatever its name. */
export async function readChartFile(name: string): Promise<Read> {
  const kind = fileKind(name);
  const about = kind === undefined ? undefined : advice[kind]?.(name);
  if (about !== undefined) return { ok: false, problem: `${name} is ${about}.` };
  if (kind === 'musicxml' || kind === 'zip') return readScore(name);
  const read = await readTextFile(name);
  return read.ok
    ? { ok: true, value: { text: read.value, source: name, isMusicXml: false } }
    : read;
}

/** Several words that are files each are several charts; any others are the words of one. */
export async function readChartInputs(
  words: readonly string[],
  standardInput: StandardInput,
): Promise<Result<readonly ChartInput[]>> {
  const areFiles = words.length > 1 && words.every((word) => isFileName(word));
  const inputs: ChartInput[] = [];
  for (const own of areFiles ? words.map((word) => [word]) : [words]) {
    const input = await readChartInput(own, standardInput);
    if (!input.ok) return input;
    inputs.push(input.value);
  }
  return { ok: true, value: inputs };
}

function isFileName(word: string): boolean {
  return fileName.test(word) || (!word.includes('|') && existsSync(word));
}

export async function readChartInput(
  words: readonly string[],
  standardInput: StandardInput,
): Promise<Read> {
  const [word = ''] = words;
  if (words.length > 1) return { ok: true, value: written(words.join(' ')) };
  if (word === '-') return readStandardInput(standardInput);
  if (isFileName(word)) return readChartFile(word);
  return { ok: true, value: written(word) };
}
