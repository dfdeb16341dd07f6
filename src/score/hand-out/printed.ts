/** Text as a hand-out has it: escaped, with accidentals as printed music has them. */
import { escapeXml } from '../xml.ts';

/** Where a letter stands before or a figure behind. */
export function printed(text: string): string {
  return escapeXml(text)
    .replace(/(?<![A-Za-z])([A-G])(bb|##|b|#)/g, (_, letter: string, signs: string) => {
      return letter + signs.replaceAll('b', '♭').replaceAll('#', '♯');
    })
    .replace(/(?<![A-Za-z&])([b#]{1,2})(?=\d|[IV]+|[iv]+(?![a-z]))/g, (signs) =>
      signs.replaceAll('b', '♭').replaceAll('#', '♯'),
    );
}
