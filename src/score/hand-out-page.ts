/**
 * A progression as one page of HTML to hand out: staves above, a table below. Everything is inside
 * the file, so that it can be sent, opened anywhere and printed on A4 or Letter alike.
 */
import { type HandOutRow, handOutOf } from './hand-out.ts';
import type { Progression, ProgressionNote } from './progression.ts';
import { escapeXml } from './xml.ts';

const style = `
  :root { color-scheme: light; }
  body { font: 11pt/1.4 Georgia, 'Times New Roman', serif; color: #111; background: #fff;
         max-width: 46em; margin: 2em auto; padding: 0 1em; }
  h1 { font-size: 1.6em; margin: 0; }
  p { margin: .2em 0 1.4em; color: #444; }
  figure { margin: 0 0 .6em; break-inside: avoid; }
  figure svg { display: block; width: 100%; height: auto; }
  table { border-collapse: collapse; width: 100%; margin-top: 1.4em; }
  th { text-align: left; font-weight: normal; color: #444; border-bottom: 1pt solid #111; }
  th, td { padding: .25em .8em .25em 0; vertical-align: top; }
  tr { break-inside: avoid; border-bottom: .5pt solid #bbb; }
  thead { display: table-header-group; }
  .symbol { font-weight: bold; white-space: nowrap; }
  .numeral { font-weight: normal; color: #444; }
  .note { display: inline-block; min-width: 3.6em; white-space: nowrap; }
  .degree { color: #444; font-size: .85em; }
  .label { font-style: italic; }
  @page { margin: 15mm; }
  @media print { body { margin: 0; padding: 0; max-width: none; font-size: 10pt; } }
`;

export type HandOutPage = {
  /** Up to where the staves stand. */
  readonly before: () => Iterable<string>;
  /** An SVG element, for line `line` of the staves; none where there is no engraver. */
  readonly figure: (svg: string, line: number) => string;
  /** The table, and the end. */
  readonly after: () => Iterable<string>;
};

/** The page in pieces, since the pictures of a long one are more than is kept at once. */
export function handOutPage(progression: Progression): HandOutPage {
  const { title, facts, rows } = handOutOf(progression);
  return {
    before: () => [
      `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${printed(title)}</title>
<style>${style}</style>
</head>
<body>
<h1>${printed(title)}</h1>
<p>${facts.map(printed).join(' · ')}</p>
`,
    ],
    figure(svg, line) {
      const about = escapeXml(`Staves, line ${line}; the notes stand in the table below`);
      return `<figure role="img" aria-label="${about}">\n${withoutProlog(svg)}</figure>\n`;
    },
    *after() {
      yield `<table>
<thead><tr><th>Bar</th><th>Chord</th><th>Sounds</th><th>Notes, low to high</th><th></th></tr></thead>
<tbody>
`;
      for (const row of rows) yield `${tableRow(row)}\n`;
      yield '</tbody>\n</table>\n</body>\n</html>\n';
    },
  };
}

/** @param pictures one for each line of staves. */
export function toHandOutPage(progression: Progression, pictures: readonly string[]): string {
  const { before, figure, after } = handOutPage(progression);
  const figures = pictures.map((svg, place) => figure(svg, place + 1));
  return [...before(), ...figures, ...after()].join('');
}

function tableRow({ place, symbol, numeral, sounds, notes, label }: HandOutRow): string {
  const inKey = numeral === '' ? '' : `<br/><span class="numeral">${printed(numeral)}</span>`;
  const cells = [
    `<td>${printed(place)}</td>`,
    `<td class="symbol">${printed(symbol)}${inKey}</td>`,
    `<td>${printed(sounds)}</td>`,
    `<td>${notes.map(noteCell).join(' ')}</td>`,
    `<td class="label">${printed(label)}</td>`,
  ];
  return `<tr>${cells.join('')}</tr>`;
}

function noteCell({ name, degree }: ProgressionNote): string {
  return `<span class="note">${printed(name)} <span class="degree">${printed(degree)}</span></span>`;
}

/** Accidentals as printed music has them, where a letter stands before or a figure behind. */
function printed(text: string): string {
  return escapeXml(text)
    .replace(/(?<![A-Za-z])([A-G])(bb|##|b|#)/g, (_, letter: string, signs: string) => {
      return letter + signs.replaceAll('b', '♭').replaceAll('#', '♯');
    })
    .replace(/(?<![A-Za-z&])([b#]{1,2})(?=\d|[IV]+|[iv]+(?![a-z]))/g, (signs) =>
      signs.replaceAll('b', '♭').replaceAll('#', '♯'),
    );
}

function withoutProlog(svg: string): string {
  return svg.replace(/^\s*<\?xml[^>]*\?>\s*/, '').replace(/^\s*<!DOCTYPE[^>]*>\s*/, '');
}
