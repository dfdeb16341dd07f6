/**
 * Frames to terminal bytes: only the lines that changed, each placed by its row, so that nothing
 * scrolls and nothing flickers. Control functions are ECMA-48 / ISO 6429 (CUP, EL, ED) and the
 * DEC private modes every current terminal knows: 7 autowrap, 25 cursor, 1049 alternate screen,
 * 2026 synchronised output (ignored where unknown).
 */
import { widthOf } from './text.ts';

const csi = '\u001B[';
/** Alternate screen, cursor hidden, no wrapping at the right edge, empty. */
export const enterScreen = `${csi}?1049h${csi}?25l${csi}?7l${csi}2J`;
/** Everything as it was found. */
export const leaveScreen = `${csi}0m${csi}?7h${csi}?25h${csi}?1049l`;

/**
 * The kitty keyboard protocol (its published specification, "Progressive enhancement"): 1 tells Esc
 * from escape sequences, 2 reports repeats and releases. Pushed, and popped again at the end.
 */
export const askForKeyUp = `${csi}>3u`;
export const giveKeyUpBack = `${csi}<u`;

export type Size = { readonly columns: number; readonly rows: number };

export type Painter = {
  /** Bytes that turn what is on the screen into `frame`; '' when nothing changed. */
  readonly paint: (frame: string, size: Size) => string;
  /** The screen no longer shows what was painted (resized, or written to): paint all of it next. */
  readonly forget: () => void;
};

export function createPainter(): Painter {
  let shown: readonly string[] | undefined;
  return {
    paint(frame, size) {
      const lines = frame.split('\n').slice(0, size.rows);
      while (lines.length < size.rows) lines.push('');
      const before = shown;
      shown = lines;
      const changed = lines.flatMap((line, row) =>
        before?.[row] === line ? [] : [placed(line, row, size.columns)],
      );
      if (changed.length === 0) return '';
      const clear = before ? '' : `${csi}2J`;
      return `${csi}?2026h${clear}${changed.join('')}${csi}?2026l`;
    },
    forget() {
      shown = undefined;
    },
  };
}

function placed(line: string, row: number, columns: number): string {
  // Erasing after a full line would take its last character: the cursor still stands on it.
  const rest = widthOf(line) < columns ? `${csi}0m${csi}K` : '';
  return `${csi}${row + 1};1H${line}${rest}`;
}
