/**
 * Scores and hand-outs of a progression, as options that several commands share. All that can be
 * known to fail is said before anything is written.
 */
import { type Engraving, type Paper, papers } from '../io/engrave.ts';
import { engraveApart } from '../io/engrave-apart.ts';
import { type OutputFile, prepareOutputFile } from '../io/output-file.ts';
import { identityOf } from '../io/output-place.ts';
import type { Result } from '../io/result.ts';
import { toHandOutPage } from '../take/hand-out-page.ts';
import { toHandOutText } from '../take/hand-out-text.ts';
import { toMusicXml } from '../take/musicxml.ts';
import { barsOf, type Progression } from '../take/progression.ts';
import { exitCodes, failure, type Streams } from './command.ts';
import { counted } from './counted.ts';

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
  pdf: { type: 'string', value: 'FILE', about: 'Not written: print --hand-out FILE.html instead' },
} as const;

export type ScoreValues = {
  readonly musicxml?: string | undefined;
  readonly svg?: string | undefined;
  readonly 'hand-out'?: string | undefined;
  readonly paper?: string | undefined;
  readonly pdf?: string | undefined;
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
    readonly bytes: () => Uint8Array;
    /** How much is in it; absent: as for a score. */
    readonly extent?: string;
  };
};

type Write = (
  progression: Progression,
  output: OutputFile,
) => Result<readonly string[]> | Promise<Result<readonly string[]>>;

type Wish = OtherFile & { readonly write?: Write };

type Task = {
  readonly option: string;
  readonly what: string;
  readonly output: OutputFile;
  /** Absent: its bytes are given. */
  readonly write: Write | undefined;
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
  const paper = paperOf(values.paper);
  if (paper === undefined) {
    const problem = `'--paper ${values.paper}': there are ${papers.join(' and ')}.`;
    return { ok: false, isMisuse: true, problem };
  }
  const { musicxml, svg, 'hand-out': handOut, pdf } = values;
  if (pdf !== undefined) {
    const problem = `'--pdf ${pdf}': no PDF is written; write '--hand-out FILE.html', open it in a browser and print it to a PDF.`;
    return { ok: false, isMisuse: true, problem };
  }
  const isPage = handOut !== undefined && /\.html?$/i.test(handOut);
  if (handOut !== undefined && !isPage && !/\.txt$/i.test(handOut)) {
    const problem = `'--hand-out ${handOut}': name it .html for a page with staves, or .txt for text.`;
    return { ok: false, isMisuse: true, problem };
  }
  if (values.paper !== undefined && svg === undefined && !isPage) {
    const problem = `'--paper ${values.paper}': nothing is engraved; add '--svg FILE.svg' or '--hand-out FILE.html', which it is for.`;
    return { ok: false, isMisuse: true, problem };
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
    write: (progression, streams, bytes = {}) => doAll(tasks, progression, bytes, streams),
  };
  return { ok: true, value };
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

function paperOf(name: string | undefined): Paper | undefined {
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
    const done = write ? await write(progression, output) : bytes && saved(bytes(), output);
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

/** A line for each file: what it is, where it is, and how much is in it. */
function sayWritten(
  what: string,
  paths: readonly string[],
  extent: string,
  streams: Streams,
): void {
  for (const [place, path] of paths.entries()) {
    const about = paths.length === 1 ? extent : `page ${place + 1} of ${paths.length}`;
    streams.stderr.write(`handspan: the ${what} is in ${path}: ${about}\n`);
  }
}

function saved(bytes: Uint8Array, output: OutputFile): Result<readonly string[]> {
  const done = output.save(bytes);
  return done.ok ? { ok: true, value: [done.value] } : done;
}

function saveText(text: string, output: OutputFile): Result<readonly string[]> {
  return saved(new TextEncoder().encode(text), output);
}

async function writeMusicXml(progression: Progression, output: OutputFile) {
  return saveText(toMusicXml(progression), output);
}

async function writeText(progression: Progression, output: OutputFile) {
  return saveText(toHandOutText(progression), output);
}

function engraved(progression: Progression, paper: Paper, isStrip: boolean) {
  return engraveApart(toMusicXml(progression, { isForEngraver: true }), { paper, isStrip });
}

function pictureTask(paper: Paper, isOverwriting: boolean) {
  return async (progression: Progression, output: OutputFile) => {
    const result = await engraved(progression, paper, false);
    return result.ok ? savePages(result.value, output, isOverwriting) : result;
  };
}

/** 'tune.svg' for one page; for more 'tune-1.svg', 'tune-2.svg' … */
function savePages(
  { pages }: Engraving,
  output: OutputFile,
  isOverwriting: boolean,
): Result<readonly string[]> {
  const [only] = pages;
  if (pages.length === 1 && only !== undefined) return saveText(only, output);
  const paths: string[] = [];
  for (const [place, page] of pages.entries()) {
    const path = output.path.replace(/(\.[^.\\/]*)?$/, (ending) => `-${place + 1}${ending}`);
    const wish = { what: 'picture', example: 'score.svg', isOverwriting };
    const numbered = prepareOutputFile(path, wish);
    const done = numbered.ok ? saveText(page, numbered.value) : numbered;
    if (!done.ok) return done;
    paths.push(...done.value);
  }
  return { ok: true, value: paths };
}

function pageTask(paper: Paper) {
  return async (progression: Progression, output: OutputFile) => {
    const result = await engraved(progression, paper, true);
    return result.ok ? saveText(toHandOutPage(progression, result.value.pages), output) : result;
  };
}
