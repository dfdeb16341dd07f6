/**
 * What stands above the first staves of an engraved picture, where the engraver would have it
 * otherwise: a long title breaks into lines, and the tempo stands above the chord symbols, as it does
 * in printed music. The engraver puts symbols outside of everything else and has no choice for it.
 */

/** Letters of a line of the title, at the engraver's size for titles and the width of A4. */
const titleLine = 62;

/** Lines that have room under the first; the others push it up. */
const linesBelow = 1;

const titleText =
  /(class="pgHead[^"]*">\s*<text[^>]*>\s*<tspan [^>]*x=")(-?\d+)" y="(-?\d+)("[^>]*text-anchor="middle"[^>]*>[\s\S]*?<tspan font-size=")(\d+)(px">)([^<]*)(<\/tspan>)/;

/** Lines of a title; as wide as each other, so that none is a single word. */
export function titleLines(title: string): readonly string[] {
  const words = title.split(/\s+/).filter(Boolean);
  const count = Math.ceil([...title].length / titleLine);
  const most = Math.ceil([...title].length / Math.max(1, count)) + 4;
  const lines: string[] = [];
  for (const word of words) {
    const longer = `${lines.at(-1) ?? ''} ${word}`;
    if (lines.length > 0 && [...longer].length <= most) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}

/** `svg` with its title in lines under each other; there must be room for them under the first. */
export function withBrokenTitle(svg: string): string {
  const [whole, open, x, y, between, size, end, text, close] = titleText.exec(svg) ?? [];
  if (whole === undefined || text === undefined) return svg;
  const [first = '', ...rest] = titleLines(text);
  if (rest.length === 0) return svg;
  const height = Math.round(Number(size) * 1.25);
  const top = Number(y) - height * Math.max(0, rest.length - linesBelow);
  const more = rest.map(
    (line) => `<tspan x="${x}" dy="${height}" font-size="${size}px">${line}</tspan>`,
  );
  const head = `${open}${x}" y="${top}${between}${size}${end}${first}${close}`;
  return svg.replace(whole, () => `${head}${more.join('')}`);
}

const tempoText = /(<g [^>]*class="tempo"[^>]*>\s*<text x="-?\d+" y=")(-?\d+)(")/;
const symbolText = /<g [^>]*class="harm"[^>]*>\s*<text x="-?\d+" y="(-?\d+)"/g;
/** From the symbols to the tempo above them, in the engraver's units: a line of its words. */
const tempoRise = 560;

/**
 * `svg` with the tempo above the symbols of its line; there must be room for it. They stand on one
 * height all along a line.
 */
export function withTempoAbove(svg: string): string {
  const found = tempoText.exec(svg);
  if (found === null) return svg;
  const tempo = Number(found[2]);
  // Of the same line: those of the next are below the staves, further than any staff is high.
  const symbols = [...svg.matchAll(symbolText)].map(([, y]) => Number(y));
  const own = symbols.filter((y) => Math.abs(y - tempo) < nextLine);
  if (own.length === 0 || tempo < Math.min(...own)) return svg;
  const raised = Math.min(...own) - tempoRise;
  const moved = svg.replace(
    tempoText,
    (_, open: string, __, close: string) => `${open}${raised}${close}`,
  );
  return withRoomAbove(moved, tempoHeight - raised);
}

/** Of the words of the tempo, above their line. */
const tempoHeight = 600;

const outerBox = /(<svg [^>]*viewBox=")0 0 ([\d.]+) ([\d.]+)(")/;
const innerBox = /(<svg [^>]*class="definition-scale"[^>]*viewBox=")0 0 ([\d.]+) ([\d.]+)(")/;

/** A strip is as high as what the engraver put there: higher by so many of its units. */
function withRoomAbove(svg: string, missing: number): string {
  const [, , innerWidth] = innerBox.exec(svg) ?? [];
  const [, , outerWidth] = outerBox.exec(svg) ?? [];
  if (missing <= 0 || innerWidth === undefined || outerWidth === undefined) return svg;
  const outer = Math.ceil((missing * Number(outerWidth)) / Number(innerWidth));
  return svg
    .replace(
      outerBox,
      (_, open, width, height, close) => `${open}0 0 ${width} ${Number(height) + outer}${close}`,
    )
    .replace(
      innerBox,
      (_, open, width, height, close) =>
        `${open}0 ${-missing} ${width} ${Number(height) + missing}${close}`,
    );
}

/** Two staves and what is between them, in the engraver's units. */
const nextLine = 2500;
