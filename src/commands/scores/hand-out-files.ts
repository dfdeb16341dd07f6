/** Hand-outs: as a page, as a PDF of that page, as text. */
import type { Result } from '../../common/result.ts';
import type { Paper } from '../../io/engraving/engrave.ts';
import { printPage } from '../../io/engraving/print-page.ts';
import type { Blanks } from '../../score/hand-out/blanks.ts';
import { handOutParts, type PageWish } from '../../score/hand-out/page.ts';
import { toHandOutText } from '../../score/hand-out/text.ts';
import type { Progression } from '../../score/progression.ts';
import { layOut } from '../../score/score-layout.ts';
import { engraved, good, type Show, saveText, type WriteScore } from './score-pictures.ts';

type Page = PageWish & { readonly engravedFor: Paper };

/** A hand-out as a page; its staves are engraved where they stand on it, one after the other. */
async function* pagePieces(
  pieces: readonly Progression[],
  wish: Page,
  show: Show,
): AsyncGenerator<Result<string>, void> {
  for (const part of handOutParts(pieces, wish)) {
    if (typeof part === 'string') {
      yield { ok: true, value: part };
      continue;
    }
    let line = 0;
    const drawing = { paper: wish.engravedFor, isStrip: true };
    for await (const svg of engraved(layOut(part.staves), drawing, show)) {
      line += 1;
      yield svg.ok ? { ok: true, value: part.figure(svg.value, line) } : svg;
    }
  }
}

export function pageTask(wish: Page): WriteScore {
  return (pieces, output, show) => saveText(pagePieces(pieces, wish, show), output);
}

/** @param browser see print-page.ts. */
export function pdfTask(wish: Page, browser: string): WriteScore {
  return async (pieces, output, show) => {
    const texts: string[] = [];
    for await (const text of pagePieces(pieces, wish, show)) {
      if (!text.ok) return text;
      texts.push(text.value);
    }
    const printed = await printPage(browser, texts.join(''));
    if (!printed.ok) return printed;
    const saved = output.save(printed.value);
    return saved.ok ? { ok: true, value: [saved.value] } : saved;
  };
}

export function textTask(blanks: Blanks): WriteScore {
  return (pieces, output) => saveText(good([toHandOutText(pieces, blanks)]), output);
}
