/**
 * A chord symbol to be read from a metre away, set as on a lead sheet: the root large, the rest
 * of the symbol small at its shoulder, a slash bass at its foot.
 *
 * The large letters are drawn on a grid six dots high. At scale 1 two dots share a terminal row as
 * half blocks (three rows in all); at scale 2 a dot is two columns by one row (six rows). At
 * scale 0 the symbol is plain text in one row.
 */
import type { Look, Tone } from './look.ts';
import { fitSpans, type Span, widthOf, withAccidentals } from './text.ts';

export type LetterScale = 0 | 1 | 2;

const dots: { readonly [sign: string]: readonly string[] } = {
  A: [' ### ', '#   #', '#   #', '#####', '#   #', '#   #'],
  B: ['#### ', '#   #', '#### ', '#   #', '#   #', '#### '],
  C: [' ####', '#    ', '#    ', '#    ', '#    ', ' ####'],
  D: ['#### ', '#   #', '#   #', '#   #', '#   #', '#### '],
  E: ['#####', '#    ', '#### ', '#    ', '#    ', '#####'],
  F: ['#####', '#    ', '#### ', '#    ', '#    ', '#    '],
  G: [' ####', '#    ', '#    ', '#  ##', '#   #', ' ####'],
  b: ['#  ', '#  ', '## ', '# #', '# #', '## '],
  '#': [' # # ', '#####', ' # # ', ' # # ', '#####', ' # # '],
  m: ['     ', '     ', '#### ', '# # #', '# # #', '# # #'],
};

/** A symbol taken apart: 'Bbm6/9/Db' → Bb, large 'm', '6/9', 'Db'. */
type Parts = { readonly large: string; readonly shoulder: string; readonly bass: string };

function partsOf(symbol: string): Parts | undefined {
  const match = /^([A-G](?:bb|##|b|#)?)(m(?!aj))?(.*?)(?:\/([A-G](?:bb|##|b|#)?))?$/u.exec(symbol);
  if (!match) return undefined;
  const [, root = '', minor = '', shoulder = '', bass = ''] = match;
  return { large: root + minor, shoulder, bass: bass && `/${bass}` };
}

function largeRows(signs: string, scale: 1 | 2): readonly string[] {
  const grids = [...signs].map((sign) => dots[sign] ?? []);
  const lines = [0, 1, 2, 3, 4, 5].map((row) => grids.map((grid) => grid[row] ?? '').join(' '));
  if (scale === 2) return lines.map((line) => line.replaceAll('#', '██').replaceAll(' ', '  '));
  return [0, 2, 4].map((row) => halfBlocks(lines[row] ?? '', lines[row + 1] ?? ''));
}

function halfBlocks(upper: string, lower: string): string {
  return [...upper]
    .map((dot, column) => {
      if (dot === '#') return lower[column] === '#' ? '█' : '▀';
      return lower[column] === '#' ? '▄' : ' ';
    })
    .join('');
}

export function letterRows(scale: LetterScale): number {
  return scale === 0 ? 1 : 3 * scale;
}

/**
 * The symbol as `letterRows(scale)` lines of at most `width` columns. Anything that is not a chord
 * symbol, and any symbol where blocks cannot be printed, is set as text on the middle line.
 */
export function setSymbol(
  look: Look,
  symbol: string,
  tone: Tone,
  scale: LetterScale,
  width: number,
): readonly (readonly Span[])[] {
  const parts = look.hasUnicode && scale > 0 ? partsOf(symbol) : undefined;
  if (scale === 0 || !parts) return asText(look, symbol, tone, scale, width);
  const rows = largeRows(parts.large, scale);
  const beside = ['  ', withAccidentals(look, parts.shoulder), withAccidentals(look, parts.bass)];
  if (widthOf(rows[0] ?? '') + Math.max(...beside.map(widthOf)) + 2 > width) {
    return scale === 2
      ? [[], ...setSymbol(look, symbol, tone, 1, width), [], []]
      : asText(look, symbol, tone, scale, width);
  }
  return rows.map((row, index) => {
    const small = index === 0 ? beside[1] : index === rows.length - 1 ? beside[2] : '';
    return [
      { text: row, tone },
      { text: small ? `  ${small}` : '', tone },
    ];
  });
}

function asText(look: Look, symbol: string, tone: Tone, scale: LetterScale, width: number) {
  const middle = Math.floor(letterRows(scale) / 2);
  return Array.from({ length: letterRows(scale) }, (_, row) =>
    row === middle ? fitSpans(look, [{ text: withAccidentals(look, symbol), tone }], width) : [],
  );
}
