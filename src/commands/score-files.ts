/**
 * Scores and hand-outs of a progression, as options that several commands share. All that can be
 * known to fail is said before anything is written.
 */
import { type Engraving, type Paper, papers } from '../io/engrave.ts';
import { engraveApart } from '../io/engrave-apart.ts';
import { type OutputFile, prepareOutputFile } from '../io/output-file.ts';
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
  readonly write: (progression: Progression, streams: Streams) => Promise<number>;
};

type Task = {
  readonly what: string;
  /** The paths of the files. */
  readonly run: (progression: Progression) => Promise<Result<readonly string[]>>;
};

type Prepared =
  | { readonly ok: true; readonly value: ScoreFiles }
  | { readonly ok: false; readonly isMisuse: boolean; readonly problem: string };

export function prepareScoreFiles(values: ScoreValues, isOverwriting: boolean): Prepared {
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
  const wishes = [
    { file: musicxml, what: 'score', example: 'score.musicxml', task: writeMusicXml },
    { file: svg, what: 'picture', example: 'score.svg', task: pictureTask(paper, isOverwriting) },
    {
      file: handOut,
      what: 'hand-out',
      example: 'hand-out.html',
      task: isPage ? pageTask(paper) : writeText,
    },
  ];
  const tasks: Task[] = [];
  for (const { file, what, example, task } of wishes) {
    if (file === undefined) continue;
    const output = prepareOutputFile(file, { what, example, isOverwriting });
    if (!output.ok) return { ok: false, isMisuse: false, problem: output.problem };
    tasks.push({ what, run: (progression) => task(progression, output.value) });
  }
  const write = (progression: Progression, streams: Streams) => doAll(tasks, progression, streams);
  return { ok: true, value: { isWanted: tasks.length > 0, write } };
}

function paperOf(name: string | undefined): Paper | undefined {
  return papers.find((paper) => paper.toLowerCase() === (name ?? 'A4').trim().toLowerCase());
}

async function doAll(
  tasks: readonly Task[],
  progression: Progression,
  streams: Streams,
): Promise<number> {
  const { grid } = progression;
  if (tasks.length > 0 && grid !== '') streams.stderr.write(`handspan: written in ${grid}\n`);
  for (const { what, run } of tasks) {
    const done = await run(progression);
    if (!done.ok) return failure(streams, done.problem);
    sayWritten(what, done.value, progression, streams);
  }
  return exitCodes.fine;
}

/** A line for each file: what it is, where it is, and how much is in it. */
export function sayWritten(
  what: string,
  paths: readonly string[],
  progression: Progression,
  streams: Streams,
): void {
  const bars = barsOf(progression).filter(({ number }) => number > 0).length;
  const chords = progression.chords.filter(({ notes }) => notes.length > 0).length;
  const whole = `${counted(bars, 'bar')}, ${counted(chords, 'chord')}`;
  for (const [place, path] of paths.entries()) {
    const about = paths.length === 1 ? whole : `page ${place + 1} of ${paths.length}`;
    streams.stderr.write(`handspan: the ${what} is in ${path}: ${about}\n`);
  }
}

function saveText(text: string, output: OutputFile): Result<readonly string[]> {
  const saved = output.save(new TextEncoder().encode(text));
  return saved.ok ? { ok: true, value: [saved.value] } : saved;
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
    const saved = numbered.ok ? saveText(page, numbered.value) : numbered;
    if (!saved.ok) return saved;
    paths.push(...saved.value);
  }
  return { ok: true, value: paths };
}

function pageTask(paper: Paper) {
  return async (progression: Progression, output: OutputFile) => {
    const result = await engraved(progression, paper, true);
    return result.ok ? saveText(toHandOutPage(progression, result.value.pages), output) : result;
  };
}
