/**
 * Scores and hand-outs of a progression, as options that several commands share. All that can be
 * known to fail is said before anything is written.
 */

import { exitCodes, failure, type Streams } from '../../cli/command.ts';
import { createProgressBar } from '../../cli/progress-bar.ts';
import type { Result } from '../../common/result.ts';
import { counted } from '../../common/words.ts';
import { type Paper, papers } from '../../io/engraving/engrave.ts';
import { printingBrowser } from '../../io/engraving/print-page.ts';
import { type OutputFile, prepareOutputFile } from '../../io/files/output-file.ts';
import { identityOf } from '../../io/files/output-place.ts';
import { type Blanks, blankKinds } from '../../score/hand-out/blanks.ts';
import { musicXmlPieces } from '../../score/musicxml.ts';
import { barsOf, type Progression, plainManner, symbolChoices } from '../../score/progression.ts';
import { layOut } from '../../score/score-layout.ts';
import { endingProblem } from '../output-endings.ts';
import { pageTask, pdfTask, textTask } from './hand-out-files.ts';
import { good, pictureTask, type Show, saveText, type WriteScore } from './score-pictures.ts';

export const scoreOptions = {
  musicxml: { type: 'string', value: 'FILE', about: 'Also write a score as MusicXML' },
  svg: { type: 'string', value: 'FILE', about: 'Also engrave it: a picture for each page' },
  'hand-out': {
    type: 'string',
    value: 'FILE',
    about: 'Also write a hand-out: FILE.html, a page with staves that plays, or FILE.txt',
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
  pdf: {
    type: 'string',
    value: 'FILE',
    about: 'Also print the hand-out to a PDF, where Chromium is installed',
  },
  blanks: {
    type: 'string',
    value: 'NAMES',
    about: `Leave out of a hand-out for students, solutions at the end: ${blankKinds.join(', ')}`,
  },
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
  readonly blanks?: string | undefined;
};

export type ScoreFiles = {
  /** False: no score was asked for. */
  readonly isWanted: boolean;
  /**
   * Writes what was asked for, and says what was written or went wrong; an exit code. Of several
   * pieces hand-outs alone can be made.
   */
  readonly write: (
    pieces: Progression | readonly Progression[],
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
  const { 'hand-out': handOut, pdf } = values;
  const isPage = handOut !== undefined && /\.html?$/i.test(handOut);
  const paper = paperOf(values.paper);
  const symbols = symbolsOf(values.symbols);
  const blanks = blanksOf(values.blanks);
  const wrong = problemWith(values, isPage);
  if (paper === undefined || symbols === null || blanks === undefined || wrong !== '') {
    return { ok: false, isMisuse: true, problem: wrong };
  }
  const browser = pdf === undefined ? undefined : printingBrowser();
  if (pdf !== undefined && browser === undefined) {
    return { ok: false, isMisuse: false, problem: noBrowser(pdf) };
  }
  const wishes: readonly Wish[] = [
    ...others,
    ...wishesFor(values, { blanks, paper, isPage, isOverwriting, browser: browser ?? '' }),
  ];
  const problem = sameFileProblem(wishes) || misnamedProblem(wishes);
  if (problem !== '') return { ok: false, isMisuse: true, problem };
  const tasks: Task[] = [];
  for (const { option, file, written, write } of wishes) {
    if (file === undefined || written === undefined) continue;
    const output = prepareOutputFile(file, { ...written, isOverwriting });
    if (!output.ok) return { ok: false, isMisuse: false, problem: output.problem };
    tasks.push({ option, what: written.what, output: output.value, write });
  }
  const value: ScoreFiles = {
    isWanted: tasks.length > 0,
    write: (pieces, streams, bytes = {}) => {
      const all = 'chords' in pieces ? [pieces] : pieces;
      const printed = all.map((piece) => inManner(piece, symbols, values.numerals));
      return doAll(tasks, printed, bytes, streams);
    },
  };
  return { ok: true, value };
}

type Making = {
  readonly blanks: Blanks;
  readonly paper: Paper;
  readonly isPage: boolean;
  readonly isOverwriting: boolean;
  /** What prints a PDF; '' where none is asked for. */
  readonly browser: string;
};

function wishesFor(
  values: ScoreValues,
  { blanks, paper, isPage, isOverwriting, browser }: Making,
): readonly Wish[] {
  const { musicxml, svg, 'hand-out': handOut, pdf } = values;
  // A page that nobody asked a paper for is printed on what the reader has.
  const size = values.paper === undefined ? {} : { paper };
  const page = { blanks, engravedFor: paper };
  return [
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
      write: isPage ? pageTask({ ...page, ...size }) : textTask(blanks),
    },
    {
      option: '--pdf',
      file: pdf,
      written: { what: 'PDF', example: 'hand-out.pdf' },
      write: pdfTask({ ...page, paper }, browser),
    },
  ];
}

function noBrowser(pdf: string): string {
  return `'--pdf ${pdf}': no browser is found that prints by itself, such as Chromium; write '--hand-out FILE.html', open it in a browser and print it to a PDF.`;
}

/** None where none were asked for; undefined where a word is wrong. */
function blanksOf(text: string | undefined): Blanks | undefined {
  const words = text === undefined ? [] : text.split(',').map((word) => word.trim().toLowerCase());
  const kinds = words.flatMap((word) => blankKinds.find((kind) => kind === word) ?? []);
  return kinds.length === words.length ? kinds : undefined;
}

/** What is wrong with the words of the command line, or ''. */
function problemWith(values: ScoreValues, isPage: boolean): string {
  const { svg, 'hand-out': handOut, pdf, paper, symbols, parts, blanks } = values;
  const isEngraved = [svg, pdf, parts].some((file) => file !== undefined) || isPage;
  const isText = handOut !== undefined && /\.txt$/i.test(handOut);
  const found: readonly (readonly [isWrong: boolean, problem: string])[] = [
    [paperOf(paper) === undefined, `'--paper ${paper}': there are ${papers.join(' and ')}.`],
    [pdf !== undefined && !/\.pdf$/i.test(pdf), `'--pdf ${pdf}': name it .pdf.`],
    [
      blanksOf(blanks) === undefined,
      `'--blanks ${blanks}': there are ${blankKinds.join(', ')}; several with commas between.`,
    ],
    [
      blanks !== undefined && handOut === undefined && pdf === undefined,
      `'--blanks ${blanks}': nothing is handed out; add '--hand-out FILE.html', which it is for.`,
    ],
    [
      handOut !== undefined && !isPage && !isText,
      `'--hand-out ${handOut}': name it .html for a page with staves, or .txt for text.`,
    ],
    [
      paper !== undefined && !isEngraved,
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
  const { below } = progression;
  const others = below?.map((each) => inManner(each, symbols, hasNumerals));
  return { ...progression, manner: own, ...(others !== undefined && { below: others }) };
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

function misnamedProblem(wishes: readonly Wish[]): string {
  return wishes.map(({ option, file }) => endingProblem(option, file)).find(Boolean) ?? '';
}

export function paperOf(name: string | undefined): Paper | undefined {
  return papers.find((paper) => paper.toLowerCase() === (name ?? 'A4').trim().toLowerCase());
}

/** One that cannot be written keeps none of the others from being written. */
async function doAll(
  tasks: readonly Task[],
  pieces: readonly Progression[],
  others: OtherBytes,
  streams: Streams,
): Promise<number> {
  const grid = pieces[0]?.grid ?? '';
  if (tasks.some(({ write }) => write !== undefined) && grid !== '')
    streams.stderr.write(`handspan: written in ${grid}\n`);
  let code: number = exitCodes.fine;
  for (const { option, what, output, write } of tasks) {
    const { bytes, extent = extentOf(pieces) } = others[option] ?? {};
    const bar = createProgressBar(streams.stderr, `Writing the ${what}`);
    const done = write
      ? await write(pieces, output, bar.show)
      : bytes && (await saved(bytes(bar.show), output));
    bar.clear();
    if (done === undefined) continue;
    if (done.ok) sayWritten(what, done.value, extent, streams);
    else code = failure(streams, done.problem);
  }
  return code;
}

function extentOf(pieces: readonly Progression[]): string {
  const bars = pieces.flatMap(barsOf).filter(({ number }) => number > 0).length;
  const chords = pieces
    .flatMap((piece) => piece.chords)
    .filter(({ notes, isRevoiced }) => notes.length > 0 && isRevoiced !== true).length;
  const all = `${counted(bars, 'bar')}, ${counted(chords, 'chord')}`;
  return pieces.length === 1 ? all : `${counted(pieces.length, 'chart')}, ${all}`;
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

function writeMusicXml([piece]: readonly Progression[], output: OutputFile, show: Show) {
  if (piece === undefined) return saveText(good([]), output);
  const layout = layOut(piece);
  let bars = 0;
  function* pieces() {
    for (const part of musicXmlPieces(layout)) {
      show(bars, layout.bars.length);
      bars += 1;
      yield part;
    }
  }
  return saveText(good(pieces()), output);
}
