/**
 * Text that must stay inside its columns. Width is counted in terminal columns (wide characters
 * count two), never in characters. Names come from outside (ports, presets, files), so control and
 * direction characters are taken out before anything is measured.
 */
import stringWidth from 'string-width';
import { type Look, signsOf } from './look.ts';

const graphemes = new Intl.Segmenter(undefined, { granularity: 'grapheme' });

/**
 * Characters that are one column wide each and on one line: most of what is ever drawn. Latin and
 * Greek letters, punctuation, arrows, lines, blocks, geometric shapes, the signs of music, braille.
 * Told apart first, because measuring grapheme by grapheme is most of the cost of a drawing.
 */
const plainText =
  /^[\x20-\x7E\u00A1-\u00AC\u00AE-\u02FF\u2010-\u2027\u2190-\u21FF\u2500-\u25FC\u2605\u2669\u266D-\u266F\u2800-\u28FF]*$/;

export function widthOf(text: string): number {
  return plainText.test(text) ? text.length : stringWidth(text);
}

/** Stems and flags of notes, which join what is before them: terminals and libraries differ on how wide. */
const joiningStems = /[\u{1D165}-\u{1D172}]/gu;

/**
 * Marks that join what comes after them, spaces too (Unicode 16, Grapheme_Cluster_Break=Prepend): a
 * name that ends in one would swallow its padding.
 */
const joiningPrefixes =
  /[\u0600-\u0605\u06DD\u070F\u0890\u0891\u08E2\u0D4E\u{110BD}\u{110CD}\u{111C2}\u{111C3}\u{113D1}\u{1193F}\u{11941}\u{11A84}-\u{11A89}\u{11D46}\u{11F02}]/gu;

/** The text on one line, without control characters or marks that turn the reading direction. */
export function oneLine(text: string): string {
  if (plainText.test(text)) return text;
  return text
    .replace(/[\p{Cc}\u2028\u2029]+/gu, ' ')
    .replace(/[\u200E\u200F\u202A-\u202E\u2066-\u2069]/gu, '')
    .replace(joiningStems, '')
    .replace(joiningPrefixes, '');
}

/** The text in at most `width` columns; what does not fit is cut and marked with the cut sign. */
export function cutTo(look: Look, text: string, width: number): string {
  const line = oneLine(text);
  if (width <= 0) return '';
  if (widthOf(line) <= width) return line;
  const cut = signsOf(look).cut;
  let kept = '';
  let used = widthOf(cut);
  for (const { segment } of graphemes.segment(line)) {
    used += widthOf(segment);
    if (used > width) break;
    kept += segment;
  }
  return kept.trimEnd() + cut;
}

/** The text in exactly `width` columns. */
export function fill(look: Look, text: string, width: number): string {
  const fitted = cutTo(look, text, width);
  return fitted + ' '.repeat(Math.max(0, width - widthOf(fitted)));
}

/**
 * Accidentals as printed music has them: 'Bb3' → 'B♭3', '#11' → '♯11'. Only where a letter name
 * stands before or a figure behind, so that words keep their b.
 */
export function withAccidentals(look: Look, text: string): string {
  if (!look.hasUnicode) return text;
  return text
    .replace(
      /(?<![A-Za-z])([A-G])(bb|##|b|#)/g,
      (_, letter: string, signs: string) => letter + printed(signs),
    )
    .replace(/(?<![A-Z])([b#]{1,2})(?=\d)/g, (_, signs: string) => printed(signs))
    .replace(/(?<![A-Za-z])([b#]{1,2})(?=(?:[IV]+|[iv]+)(?![a-z]))/g, (_, signs: string) =>
      printed(signs),
    );
}

function printed(signs: string): string {
  return signs.replaceAll('b', '♭').replaceAll('#', '♯');
}

/** Rows that a text takes, as whole words wrap; at least one. */
export function wrappedRows(text: string, width: number): number {
  let rows = 1;
  let used = 0;
  for (const word of text.split(/\s+/)) {
    const wide = widthOf(word);
    if (used > 0 && used + 1 + wide > width) {
      rows += 1;
      used = 0;
    }
    used += wide + (used > 0 ? 1 : 0);
    // A word wider than the line goes on in the next.
    rows += Math.floor((used - 1) / width);
    used = used > width ? used % width : used;
  }
  return Math.max(1, rows);
}
