/**
 * Progressions as one page of HTML to hand out: staves, tables, definitions, questions, and what
 * plays them. Everything is inside the file, so that it can be sent, opened anywhere without a
 * network and printed on A4 or Letter alike. Every text from outside is escaped.
 */
import { capitalised } from '../../common/words.ts';
import type { Progression } from '../progression.ts';
import { escapeXml } from '../xml.ts';
import { type Blanks, withBlankStaves } from './blanks.ts';
import { chordsOfQuestion, musicOf, questionsOf } from './music.ts';
import { handOutPlayer } from './player.ts';
import { handOutCourse } from './player-course.ts';
import { handOutMarks } from './player-marks.ts';
import { handOutSound } from './player-sound.ts';
import { printed } from './printed.ts';
import {
  type CitedRule,
  citedRules,
  factsLine,
  techniquesIn,
  titleOf,
  treatmentName,
  treatmentsOf,
} from './rows.ts';
import { style } from './style.ts';
import { factNotesText, factTable, tableOf } from './tables.ts';

export type PageWish = {
  /** Absent: nothing. */
  readonly blanks?: Blanks;
  /** What it is printed on: a name that CSS knows, 'A4' or 'letter'; absent: what the reader has. */
  readonly paper?: string;
};

/** A stretch of the page, or staves to be engraved there, a figure for each line of them. */
export type PagePart = string | { readonly staves: Progression; readonly figure: Figure };

/** An SVG element, for line `line` of the staves. */
export type Figure = (svg: string, line: number) => string;

/** Seconds of a chord that is to be heard slowly. */
const slow = 2.6;

/** The page in pieces, since the pictures of a long one are more than is kept at once. */
export function* handOutParts(
  pieces: readonly Progression[],
  wish: PageWish = {},
): Generator<PagePart, void> {
  const { blanks = [] } = wish;
  const rules = citedRules(pieces);
  yield headOf(pieces, wish);
  for (const [place, piece] of pieces.entries()) {
    yield* pieceParts(piece, place, {
      blanks,
      rules,
      isAlone: pieces.length === 1,
      isSolution: false,
    });
  }
  if (blanks.length === 0) yield factNotesText(pieces);
  yield techniqueText(pieces);
  if (blanks.length === 0) yield ruleText(rules, 'h2');
  yield questionText(pieces, blanks);
  if (blanks.length > 0) {
    yield '<section class="solutions" aria-labelledby="solutions">\n<h2 id="solutions">Solutions</h2>\n';
    for (const [place, piece] of pieces.entries()) {
      yield* pieceParts(piece, place, { blanks: [], rules, isAlone: false, isSolution: true });
    }
    yield `${factNotesText(pieces)}${ruleText(rules, 'h3')}</section>\n`;
  }
  yield `</main>\n${scriptOf(pieces)}</body>\n</html>\n`;
}

function pageTitle(pieces: readonly Progression[]): string {
  const titles = pieces.map(titleOf);
  return titles.length === 1 ? titles.join() : `Lesson: ${titles.join(', ')}`;
}

/** Nothing is fetched, whatever a text in the page says. */
const policy =
  "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; font-src data:; img-src data:";

function headOf(pieces: readonly Progression[], { paper }: PageWish): string {
  const title = printed(pageTitle(pieces));
  const size = paper === undefined ? '' : `@page { size: ${escapeXml(paper)}; }\n`;
  const [first] = pieces;
  const facts = pieces.length === 1 && first !== undefined ? factsText(first) : '';
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<meta http-equiv="Content-Security-Policy" content="${policy}"/>
<title>${title}</title>
<style>${style}${size}</style>
</head>
<body>
<main>
<h1>${title}</h1>
${facts}<div class="listening" role="group" aria-label="Listening">
<p class="caution">Set the level of your speakers or headphones low before you begin; this page begins soft. Buttons play, the same button or Escape stops.</p>
<p><label for="level">Level</label> <input id="level" type="range" min="0" max="10" value="3"/> <button type="button" id="stop" disabled="disabled">Stop</button></p>
<p id="said" role="status"></p>
<noscript><p>The page can be read and printed; to hear it, let it run JavaScript.</p></noscript>
</div>
`;
}

function factsText(piece: Progression): string {
  return `<p class="facts">${factsLine(piece).map(printed).join(' · ')}</p>\n`;
}

type PieceWish = {
  readonly blanks: Blanks;
  readonly rules: ReadonlyMap<string, CitedRule>;
  /** Its title is the page's. */
  readonly isAlone: boolean;
  /** It has no buttons: they stand above. */
  readonly isSolution: boolean;
};

function* pieceParts(
  piece: Progression,
  place: number,
  wish: PieceWish,
): Generator<PagePart, void> {
  const { blanks, isAlone, isSolution } = wish;
  const heading = isSolution ? 'h3' : 'h2';
  if (!isAlone) yield `<${heading}>${printed(titleOf(piece))}</${heading}>\n${factsText(piece)}`;
  yield stavesPart(piece, place, wish);
  for (const treatment of treatmentsOf(piece).keys()) {
    yield treatmentText(piece, { piece: place, treatment }, wish);
  }
  // What was measured tells much of what is asked.
  if (blanks.length === 0) yield factTable(piece);
}

function stavesPart(
  piece: Progression,
  place: number,
  { blanks, isSolution }: PieceWish,
): PagePart {
  const told = blanks.includes('notes') ? 'to fill in' : 'the notes stand in the table below';
  const own = isSolution ? '' : ` data-piece="${place}"`;
  return {
    staves: withBlankStaves(piece, blanks),
    figure: (svg, line) => {
      const about = escapeXml(`Staves of ${titleOf(piece)}, line ${line}; ${told}`);
      return `<figure role="img" aria-label="${about}"${own}>\n${withoutProlog(svg)}</figure>\n`;
    },
  };
}

/** What it is called, its buttons and its table. */
function treatmentText(
  piece: Progression,
  place: { readonly piece: number; readonly treatment: number },
  { blanks, rules, isAlone, isSolution }: PieceWish,
): string {
  const name = treatmentName(piece, place.treatment, blanks);
  const under = isAlone ? 'h2' : 'h3';
  const heading = isSolution ? 'h4' : under;
  const own = treatmentsOf(piece)[place.treatment] ?? piece;
  const buttons = isSolution ? undefined : place;
  return [
    name === '' ? '' : `<${heading}>${printed(name)}</${heading}>\n`,
    isSolution ? '' : controlsText(place.piece, place.treatment, name),
    tableOf(own, { blanks, rules, name, buttons }),
  ].join('');
}

function controlsText(piece: number, treatment: number, name: string): string {
  const of = name === '' ? '' : `, ${name}`;
  const button = (pace: string, words: string) =>
    `<button type="button" disabled="disabled" aria-pressed="false" data-play="${piece} ${treatment} ${pace}" data-told="${escapeXml(`${words}${of}`)}">${words}</button>`;
  return `<p class="controls" role="group" aria-label="${escapeXml(`All of it${of}`)}">${button('slow', 'Play slowly')} ${button('tempo', 'Play in tempo')}</p>\n`;
}

function techniqueText(pieces: readonly Progression[]): string {
  const techniques = techniquesIn(pieces).map(({ definition, source }) => {
    const [name = '', ...rest] = definition.split(': ');
    return `<dt>${printed(name)}</dt><dd>${printed(capitalised(rest.join(': ')))} <span class="degree">${printed(source)}</span></dd>`;
  });
  if (techniques.length === 0) return '';
  return `<h2>Techniques</h2>\n<dl>\n${techniques.join('\n')}\n</dl>\n`;
}

function ruleText(rules: ReadonlyMap<string, CitedRule>, heading: 'h2' | 'h3'): string {
  if (rules.size === 0) return '';
  const sources = [...rules].map(
    ([rule, { source }]) => `<li>${printed(`${rule}: ${source}`)}.</li>`,
  );
  return `<${heading}>Rules, and where they come from</${heading}>\n<ol>\n${sources.join('\n')}\n</ol>\n`;
}

function questionText(pieces: readonly Progression[], blanks: Blanks): string {
  const questions = questionsOf(pieces);
  if (questions.length === 0) return '';
  const items = questions.map(({ piece, treatment }, place) => {
    const own = pieces[piece];
    const name = own === undefined ? '' : treatmentName(own, treatment, blanks);
    const of = pieces.length === 1 || own === undefined ? '' : ` of ${titleOf(own)}`;
    const told = escapeXml(`question ${place + 1}`);
    const play = `${piece} ${treatment} tempo ${chordsOfQuestion}`;
    return `<li>Which treatment${printed(of)} is this? <span class="controls"><button type="button" disabled="disabled" aria-pressed="false" data-play="${play}" data-told="${told}">Play question ${place + 1}</button></span>
<details><summary>Answer ${place + 1}</summary><p>${printed(name)}</p></details></li>`;
  });
  return `<h2>Questions for the ear</h2>\n<ol>\n${items.join('\n')}\n</ol>\n`;
}

const playerParts = `{ createSound: ${handOutSound}, createMarks: ${handOutMarks}, createCourse: ${handOutCourse} }`;

/** Numbers and our own code alone: nothing from outside. */
function scriptOf(pieces: readonly Progression[]): string {
  const music = JSON.stringify(musicOf(pieces));
  return `<script type="application/json" id="music">${music}</script>
<script>
//<![CDATA[
(${handOutPlayer})(document, window, ${slow}, ${playerParts});
//]]>
</script>
`;
}

/** @param pictures one for each line of staves. */
export function toHandOutPage(
  pieces: Progression | readonly Progression[],
  pictures: readonly string[],
  wish: PageWish = {},
): string {
  const all = 'chords' in pieces ? [pieces] : pieces;
  return [...handOutParts(all, wish)]
    .flatMap((part) =>
      typeof part === 'string' ? [part] : pictures.map((svg, place) => part.figure(svg, place + 1)),
    )
    .join('');
}

function withoutProlog(svg: string): string {
  return svg.replace(/^\s*<\?xml[^>]*\?>\s*/, '').replace(/^\s*<!DOCTYPE[^>]*>\s*/, '');
}
