/** Scores as pictures, and what is written of a score piece by piece. */

import type { Result } from '../../common/result.ts';
import type { Paper } from '../../io/engraving/engrave.ts';
import { engraveApart } from '../../io/engraving/engrave-apart.ts';
import {
  numberedPath,
  type OutputFile,
  type Pieces,
  prepareOutputFile,
} from '../../io/files/output-file.ts';
import { musicXmlPieces } from '../../score/musicxml.ts';
import type { Progression } from '../../score/progression.ts';
import { layOut, type ScoreLayout, sectionsOf } from '../../score/score-layout.ts';

/** How far it has come. */
export type Show = (done: number, of: number) => void;

/** The paths of the files. */
export type WriteScore = (
  pieces: readonly Progression[],
  output: OutputFile,
  show: Show,
) => Promise<Result<readonly string[]>>;

export async function saveText(
  pieces: Pieces,
  output: OutputFile,
): Promise<Result<readonly string[]>> {
  const saved = await output.saveText(pieces);
  return saved.ok ? { ok: true, value: [saved.value] } : saved;
}

export function* good(texts: Iterable<string>): Generator<Result<string>, void> {
  for (const value of texts) yield { ok: true, value };
}

export type Drawing = {
  readonly paper: Paper;
  readonly isStrip: boolean;
  /** For one player's stand. */
  readonly isPart?: boolean;
};

/** Pictures as they are engraved: a long score section by section, since the engraver keeps it all. */
export async function* engraved(
  layout: ScoreLayout,
  wish: Drawing,
  show: Show,
): AsyncGenerator<Result<string>, void> {
  let page = 0;
  for (const section of sectionsOf(layout)) {
    show(section.from, layout.bars.length);
    const xml = [...musicXmlPieces(layout, { isForEngraver: true }, section)].join('');
    const result = await engraveApart(xml, wish);
    if (!result.ok) {
      yield result;
      return;
    }
    for (const svg of result.value.pages) {
      page += 1;
      yield { ok: true, value: numberedPage(svg, page) };
    }
  }
}

/** The engraver counts each section from its own first page, which it leaves without a number. */
function numberedPage(svg: string, number: number): string {
  return svg.replace(
    /(<title class="labelAttr">page<\/title>(?:\s*<tspan[^>]*>)+)\d+(?=<)/,
    (_, before: string) => `${before}${number}`,
  );
}

/** 'tune.svg' for one page; for more 'tune-1.svg', 'tune-2.svg' … */
export function pictureTask(paper: Paper, isOverwriting: boolean): WriteScore {
  return async ([piece], output, show) => {
    if (piece === undefined) return { ok: true, value: [] };
    const pages = engraved(layOut(piece), { paper, isStrip: false }, show);
    const first = await pages.next();
    const second = await pages.next();
    if (first.done === true) return { ok: true, value: [] };
    if (second.done === true) return saveText([first.value], output);
    const paths: string[] = [];
    for await (const page of chained([first.value, second.value], pages)) {
      const path = numberedPath(output.path, paths.length + 1);
      const wish = { what: 'picture', example: 'score.svg', isOverwriting };
      const numbered = prepareOutputFile(path, wish);
      const saved = numbered.ok ? await saveText([page], numbered.value) : numbered;
      if (!saved.ok) return saved;
      paths.push(...saved.value);
    }
    return { ok: true, value: paths };
  };
}

async function* chained<T>(before: readonly T[], rest: AsyncIterable<T>): AsyncGenerator<T, void> {
  yield* before;
  yield* rest;
}
