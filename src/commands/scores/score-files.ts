/**
 * Scores and hand-outs of a progression, as options that several commands share. All that can be
 * known to fail is said before anything is written.
 */

import { exitCodes, failure, type Streams } from '../../cli/command.ts';
import { createProgressBar } from '../../cli/progress-bar.ts';
import type { Result } from '../../common/result.ts';
import { counted } from '../../common/words.ts';
import { type Paper, papers } from '../../io/engraving/engrave.ts';
import { type OutputFile, prepareOutputFile } from '../../io/files/output-file.ts';
import { identityOf } from '../../io/files/output-place.ts';
import { toHandOutText } from '../../score/hand-out-text.ts';
import { musicXmlPieces } from '../../score/musicxml.ts';
import { barsOf, type Progression, plainManner, symbolChoices } from '../../score/progression.ts';
import { layOut } from '../../score/score-layout.ts';
import {
  good,
  pageTask,
  pictureTask,
  type Show,
  saveText,
  type WriteScore,
} from './score-pictures.ts';

export const scoreOptions = {
  musicxml: { type: 'string', value: 'FILE', about: 'Also write a score as MusicXML' },
  svg: { type: 'string', value: 'FILE', about: 'Also engrave it: a picture for each page' },
  'hand-out': {
    type: 'string',
    value: 'FILE',
    about: 'Also write a hand-out: staves and a table as FILE.html, or FILE.txt',
  },
  paper: {
    type: 'string',
    value: 'NAME',
    about: 'A4 or letter, for --svg and a hand-out page; A4 when left out',
  },
  symbols: {
    type: 'string',
    value: 'NAME',
    about: 'Chord symbols of a score: written, sounding, or both (what sounds below)',
  },
  numerals: { type: 'boolean', about: 'Also print what each chord is in the key' },
  pdf: { type: 'string', value: 'FILE', about: 'Not written: print --hand-out FILE.html instead' },
} as const;

export type ScoreValues = {
  readonly musicxml?: string | undefined;
  readonly svg?: string | undefined;
  readonly 'hand-out'?: string | undefined;
  readonly paper?: string | undefined;
  readonly symbols?: string | undefined;
  readonly numerals?: boolean | undefined;
  readonly pdf?: string | undefined;
  /** A folder of parts, which are engraved too. */
  readonly parts?: string | undefined;
};

export type ScoreFiles = {
  /** False: no score was asked for. */
  readonly isWanted: boolean;
  /** Writes what was asked for, and says what was written or went wrong; an exit code. */
  readonly write: (
    progression: Progression,
    streams: Streams,
    others?: OtherBytes,
  ) => Promise<number>;
};

/** A file that stands beside the scores. */
export type OtherFile = {
  /** As on the command line: '--midi'. */
  readonly option: string;
  readonly file: string | undefined;
  /** Absent: somebody else writes it, and it only must be another file than the scores. */
  readonly written?: {
    readonly what: string;
    /** A file name that would do. */
    readonly example: string;
  };
};

/** What an `OtherFile` holds, by its option. */
export type OtherBytes = {
  readonly [option: string]: {
    /** All at once, or made piece by piece. */
    readonly bytes: (() => Uint8Array) | ((show: Show) => AsyncIterable<Result<Uint8Array>>);
    /** How much is in it; absent: as for a score. */
    readonly extent?: string;
  };
};

type Wish = OtherFile & { readonly write?: WriteScore };

type Task = {
  readonly option: string;
  readonly what: string;
  readonly output: OutputFile;
  /** Absent: its bytes are given. */
  readonly write: WriteScore | undefined;
};

type Prepared =
  | { readonly ok: true; readonly value: ScoreFiles }
  | { readonly ok: false; readonly isMisuse: boolean; readonly problem: string };

/** @param others are written first. */
export function prepareScoreFiles(
  values: ScoreValues,
  isOverwriting: boolean,
  others: readonly OtherFile[] = [],
): Prepared {
  const { musicxml, svg, 'hand-out': handOut } = values;
  const isPage = handOut !== undefined && /\.html?$/i.test(handOut);
  const paper = paperOf(values.paper);
  const symbols = symbolsOf(values.symbols);
  const wrong = problemWith(values, isPage);
  if (paper === undefined || symbols === null || wrong !== '') {
    return { ok: false, isMisuse: true, problem: wrong };
  }
  const wishes: readonly Wish[] = [
    ...others,
    {
      option: '--musicxml',
      file: musicxml,
      written: { what: 'score', example: 'score.musicxml' },
      write: writeMusicXml,
    },
    {
      option: '--svg',
      file: svg,
      written: { what: 'picture', example: 'score.svg' },
      write: pictureTask(paper, isOverwriting),
    },
    {
      option: '--hand-out',
      file: handOut,
      written: { what: 'hand-out', example: 'hand-out.html' },
      write: isPage ? pageTask(paper) : writeText,
    },
  ];
  const same = sameFileProblem(wishes);
  if (same !== '') return { ok: false, isMisuse: true, problem: same };
  const tasks: Task[] = [];
  for (const { option, file, written, write } of wishes) {
    if (file === undefined || written === undefined) continue;
    const output = prepareOutputFile(file, { ...written, isOverwriting });
    if (!output.ok) return { ok: false, isMisuse: false, problem: output.problem };
    tasks.push({ option, what: written.what, output: output.value, write });
  }
  const value: ScoreFiles = {
    isWanted: tasks.length > 0,
    write: (progression, streams, bytes = {}) =>
      doAll(tasks, inManner(progression, symbols, values.numerals), bytes, streams),
  };
  return { ok: true, value };
}

/** What is wrong with the words of the command line, or ''. */
function problemWith(values: ScoreValues, isPage: boolean): string {
  const { svg, 'hand-out': handOut, pdf, paper, symbols, parts } = values;
  const isText = handOut !== undefined && /\.txt$/i.test(handOut);
  const found: readonly (readonly [isWrong: boolean, problem: string])[] = [
    [paperOf(paper) === undefined, `'--paper ${paper}': there are ${papers.join(' and ')}.`],
    [
      pdf !== undefined,
      `'--pdf ${pdf}': no PDF is written; write '--hand-out FILE.html', open it in a browser and print it to a PDF.`,
    ],
    [
      handOut !== undefined && !isPage && !isText,
      `'--hand-out ${handOut}': name it .html for a page with staves, or .txt for text.`,
    ],
    [
      paper !== undefined && svg === undefined && !isPage && parts === undefined,
      `'--paper ${paper}': nothing is engraved; add '--svg FILE.svg' or '--hand-out FILE.html', which it is for.`,
    ],
    [symbolsOf(symbols) === null, `'--symbols ${symbols}': there are ${symbolChoices.join(', ')}.`],
  ];
  return found.find(([isWrong]) => isWrong)?.[1] ?? '';
}

type Symbols = (typeof symbolChoices)[number];

/** Undefined: not asked for; null: there is no such choice. */
function symbolsOf(text: string | undefined): Symbols | undefined | null {
  if (text === undefined) return undefined;
  return symbolChoices.find((each) => each === text.trim().toLowerCase()) ?? null;
}

function inManner(
  progression: Progression,
  symbols: Symbols | undefined,
  hasNumerals: boolean | undefined,
): Progression {
  const { manner = plainManner } = progression;
  const own = { symbols: symbols ?? manner.symbols, hasNumerals: hasNumerals ?? false };
  return { ...progression, manner: own };
}

/** The second would take the place of the first, whatever was asked about overwriting; or ''. */
function sameFileProblem(wishes: readonly Wish[]): string {
  const known = new Map<string, string>();
  for (const { option, file } of wishes) {
    const identity = file === undefined ? undefined : identityOf(file);
    if (identity === undefined) continue;
    const other = known.get(identity);
    if (other !== undefined) {
      return `'${other}' and '${option}' name the same file ${file}; give each a name of its own.`;
    }
    known.set(identity, option);
  }
  return '';
}

export function paperOf(name: string | undefined): Paper | undefined {
  return papers.find((paper) => paper.toLowerCase() === (name ?? 'A4').trim().toLowerCase());
}

/** One that cannot be written keeps none of the others from being written. */
async function doAll(
  tasks: readonly Task[],
  progression: Progression,
  others: OtherBytes,
  streams: Streams,
): Promise<number> {
  const { grid } = progression;
  if (tasks.some(({ write }) => write !== undefined) && grid !== '')
    streams.stderr.write(`handspan: written in ${grid}\n`);
  let code: number = exitCodes.fine;
  for (const { option, what, output, write } of tasks) {
    const { bytes, extent = extentOf(progression) } = others[option] ?? {};
    const bar = createProgressBar(streams.stderr, `Writing the ${what}`);
    const done = write
      ? await write(progression, output, bar.show)
      : bytes && (await saved(bytes(bar.show), output));
    bar.clear();
    if (done === undefined) continue;
    if (done.ok) sayWritten(what, done.value, extent, streams);
    else code = failure(streams, done.problem);
  }
  return code;
}

function extentOf(progression: Progression): string {
  const bars = barsOf(progression).filter(({ number }) => number > 0).length;
  const chords = progression.chords.filter(
    ({ notes, isRevoiced }) => notes.length > 0 && isRevoiced !== true,
  ).length;
  return `${counted(bars, 'bar')}, ${counted(chords, 'chord')}`;
}

/** Pages that are named one by one. */
const mostNamed = 6;

/** A line for each file: what it is, where it is, and how much is in it. */
function sayWritten(
  what: string,
  paths: readonly string[],
  extent: string,
  streams: Streams,
): void {
  if (paths.length > mostNamed) {
    const range = `${paths[0]} to ${paths.at(-1)}: ${counted(paths.length, 'page')}, ${extent}`;
    streams.stderr.write(`handspan: the ${what}s are in ${range}\n`);
    return;
  }
  for (const [place, path] of paths.entries()) {
    const about = paths.length === 1 ? extent : `page ${place + 1} of ${paths.length}`;
    streams.stderr.write(`handspan: the ${what} is in ${path}: ${about}\n`);
  }
}

async function saved(
  bytes: Uint8Array | AsyncIterable<Result<Uint8Array>>,
  output: OutputFile,
): Promise<Result<readonly string[]>> {
  const done = bytes instanceof Uint8Array ? output.save(bytes) : await output.saveBytes(bytes);
  return done.ok ? { ok: true, value: [done.value] } : done;
}

function writeMusicXml(progression: Progression, output: OutputFile, show: Show) {
  const layout = layOut(progression);
  let bars = 0;
  function* pieces() {
    for (const piece of musicXmlPieces(layout)) {
      show(bars, layout.bars.length);
      bars += 1;
      yield piece;
    }
  }
  return saveText(good(pieces()), output);
}

function writeText(progression: Progression, output: OutputFile) {
  return saveText(good([toHandOutText(progression)]), output);
}
