/**
 * MusicXML as engraved pages. The engraver (verovio, LGPL) is a large package of its own, loaded
 * when somebody wants a picture and not before; without it everything else still works.
 */

import type { Result } from '../../common/result.ts';
import { titleLines, withBrokenTitle, withTempoAbove } from './page-head.ts';
import { withPlainGlyphs } from './plain-glyphs.ts';

export const papers = ['A4', 'letter'] as const;
export type Paper = (typeof papers)[number];

export type Engraving = {
  /** One SVG a page. */
  readonly pages: readonly string[];
  /** What the engraver complained of; usually ''. */
  readonly warnings: string;
};

export type EngravingWish = {
  readonly paper: Paper;
  /** A picture without margins for each line of staves instead of pages, as wide as the page. */
  readonly isStrip?: boolean;
  /** A part on a stand, read from further away: larger, and its lines further apart. */
  readonly isPart?: boolean;
};

/** Width and height in tenths of a millimetre, the engraver's unit at its usual scale. */
const sizes: Readonly<Record<Paper, readonly [number, number]>> = {
  A4: [2100, 2970],
  letter: [2159, 2794],
};
const margin = 120;
/** No more than one line of staves fits: the engraver's least height. */
const shortest = 100;
/** What a line of a title is high, in the same unit. */
const titleRise = 65;
/** Percent: a staff some 6 mm high, as in printed piano music. */
const usualScale = 85;
/** So many of that size have room below each other on a page, with words between them. */
const stavesOnPage = 12;

/** Smaller where the staves that belong together would not fit on a page. */
function scaleFor(musicXml: string): number {
  const parts = musicXml.match(/<score-part /g)?.length ?? 1;
  const hands = musicXml.match(/<staves>2<\/staves>/g)?.length ?? 0;
  return Math.round(usualScale * Math.min(1, stavesOnPage / (parts + hands)));
}

/** A staff some 7 mm high, as in printed parts. */
const partScale = 100;
/** Between the lines of a part, in the engraver's unit; between others it is what it chooses. */
const partSpacing = 8;

export async function engrave(musicXml: string, wish: EngravingWish): Promise<Result<Engraving>> {
  const toolkit = await loadToolkit();
  if (!toolkit.ok) return toolkit;
  const { value } = toolkit;
  try {
    value.setOptions(optionsFor(musicXml, wish));
    if (!value.loadData(musicXml)) {
      return { ok: false, problem: `The score cannot be engraved: ${firstLine(value.getLog())}.` };
    }
    const pages = Array.from({ length: value.getPageCount() }, (_, page) =>
      withTempoAbove(withBrokenTitle(withLargeTitle(withPlainGlyphs(value.renderToSVG(page + 1))))),
    );
    return { ok: true, value: { pages, warnings: value.getLog().trim() } };
  } finally {
    value.destroy();
  }
}

/** Half as large again as other words, as the engraver has it where no composer stands beside it. */
const titleSize = 1.5;

/** Of a title from credits the engraver reads no size. It stands in the middle of the page's head. */
function withLargeTitle(svg: string): string {
  return svg.replace(
    /(class="pgHead">\s*<text[^>]*>\s*<tspan[^>]*text-anchor="middle">\s*<tspan[^>]*>\s*<tspan font-size=")(\d+)(?=px")/u,
    (_, before: string, size: string) => `${before}${Math.round(Number(size) * titleSize)}`,
  );
}

function optionsFor(
  musicXml: string,
  { paper, isStrip = false, isPart = false }: EngravingWish,
): Readonly<Record<string, unknown>> {
  const [width, height] = sizes[paper];
  const scale = scaleFor(musicXml);
  const own = isPart ? partScale : scale;
  const scaled = (length: number) => Math.round((length * 100) / own);
  const moreLines = titleLines(titleOf(musicXml)).length - 1;
  return {
    scale: own,
    ...(isPart && { spacingSystem: partSpacing }),
    pageWidth: scaled(width),
    pageHeight: isStrip ? shortest : scaled(height),
    // The same score gives the same picture.
    xmlIdSeed: 1,
    ...Object.fromEntries(
      ['Top', 'Bottom', 'Left', 'Right'].map((side) => [
        `pageMargin${side}`,
        isStrip ? 20 : scaled(margin),
      ]),
    ),
    // The engraver gives a title no more room than that; further lines go into the margin.
    ...(moreLines > 1 &&
      !isStrip && { pageMarginTop: scaled(margin + titleRise * (moreLines - 1)) }),
    adjustPageHeight: isStrip,
    // A score of one line names no place to break, and is not asked for one.
    breaks: musicXml.includes('new-system') ? 'line' : 'auto',
    // A last line of a bar or two keeps its natural width; strips are all as wide as each other.
    minLastJustification: isStrip ? 0 : 0.6,
    // Words clear of ledger lines, stems and each other.
    defaultTopMargin: 1,
    defaultBottomMargin: 1.5,
    // A title clear of the tempo over the first chord symbols, and of its own further lines.
    bottomMarginHeader: moreLines > 0 ? 19 : 10,
    footer: 'none',
    header: isStrip ? 'none' : 'auto',
    svgViewBox: true,
    svgHtml5: isStrip,
    svgRemoveXlink: true,
  };
}

function titleOf(musicXml: string): string {
  return /<work-title>([^<]*)<\/work-title>/.exec(musicXml)?.[1] ?? '';
}

function firstLine(text: string): string {
  return text.trim().split('\n', 1)[0]?.replace(/\.$/, '') || 'the engraver gives no reason';
}

const absent =
  "Pictures need the package 'verovio', which is not installed: run 'npm install verovio' where Handspan is.";
const crowded =
  'The score cannot be engraved: there is too little memory for the engraver to start; close other programs, or write it with --musicxml and engrave that elsewhere.';

async function loadToolkit() {
  const loaded = await Promise.all([import('verovio/wasm'), import('verovio/esm')]).catch(
    () => undefined,
  );
  if (loaded === undefined) return { ok: false, problem: absent } as const;
  const [{ default: createModule }, { enableLogToBuffer, VerovioToolkit }] = loaded;
  try {
    const module = await createModule();
    enableLogToBuffer(true, module);
    return { ok: true, value: new VerovioToolkit(module) } as const;
  } catch {
    return { ok: false, problem: crowded } as const;
  }
}
