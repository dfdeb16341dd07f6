/**
 * Engraved pictures that any viewer shows alike. The engraver sets accidentals and the note of the
 * tempo in words from a music font of its own, embedded in the picture; browsers honour that, most
 * other programs that read SVG do not and show boxes. In words Unicode's own signs do as well.
 *
 * Code points of the music font: SMuFL 1.4, "Figured bass" and "Metronome marks".
 */
const signs: ReadonlyMap<string, { readonly sign: string; readonly size: number }> = new Map([
  ['\u{EA64}', { sign: '♭', size: 405 }],
  ['\u{EA65}', { sign: '♮', size: 405 }],
  ['\u{EA66}', { sign: '♯', size: 405 }],
  ['\u{ECA5}', { sign: '♩', size: 500 }],
]);

/** The engraver measures by Times; the others are as wide, and one of them is on any system. */
const textFonts = "Times, 'Times New Roman', 'Liberation Serif', Tinos, FreeSerif, serif";

const inMusicFont = /<tspan font-family="Leipzig" font-size="[\d.]+px">(.)<\/tspan>/gu;

export function withPlainGlyphs(svg: string): string {
  const plain = svg
    .replace(inMusicFont, (whole, letter: string) => {
      const known = signs.get(letter);
      if (known === undefined) return whole;
      return `<tspan font-size="${known.size}px">${known.sign}</tspan>`;
    })
    .replace('font-family="Times, serif"', `font-family="${textFonts}"`);
  // Some other letter of it may be left: then the font stays.
  if (plain.includes('font-family="Leipzig"')) return plain;
  return plain.replace(/<style[^>]*>\s*@font-face\s*\{[^}]*\}\s*<\/style>/u, '');
}
