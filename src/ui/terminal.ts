/**
 * What Ink writes to, between it and the terminal: the page begins at the top of the alternate
 * screen, so every update begins there too. Ink 6.8 goes one row too few up from the foot of a page
 * that ends in a line break (`incrementalRendering`), and clears the scrollback, main screen and all,
 * when a page is as high as the terminal it is told of: here it is told of one without end.
 *
 * Control functions are ECMA-48 / ISO 6429 (CUP, ED) and the DEC private modes every current
 * terminal knows: 7 autowrap, 25 cursor, 1049 alternate screen.
 */
import { Writable } from 'node:stream';
import type { Size } from './frame/layout.ts';

const csi = '\u001B[';
/** Alternate screen, cursor hidden, no wrapping at the right edge, empty. */
export const enterScreen = `${csi}?1049h${csi}?25l${csi}?7l${csi}2J${csi}H`;
/** Nothing on the screen, the cursor at its top. */
export const emptyScreen = `${csi}0m${csi}2J${csi}H`;
/**
 * Everything as it was found. Emptied first, with the cursor at the top: a terminal that has grown
 * meanwhile shrinks its page before it has the main screen back, and rows above the cursor went into
 * the scrollback (tmux 3.3).
 */
export const leaveScreen = `${emptyScreen}${csi}?7h${csi}?25h${csi}?1049l`;

/** For a program that was killed while it drew; harmless on a main screen, which keeps its cursor. */
export const freeScreen = `${csi}0m${csi}?7h${csi}?25h${csi}?1047l`;

/**
 * The kitty keyboard protocol (its published specification, "Progressive enhancement"): 1 tells Esc
 * from escape sequences, 2 reports repeats and releases. Pushed, and popped again at the end.
 */
export const askForKeyUp = `${csi}>3u`;
export const giveKeyUpBack = `${csi}<u`;

// biome-ignore lint/suspicious/noControlCharactersInRegex: a control sequence is what is looked for.
const upFirst = /^\u001B\[\d*A/;

/** An update of Ink's as the terminal is to have it; a raw terminal need not return at a line's end. */
export function fromTheTop(bytes: string): string {
  return bytes.replace(upFirst, `${csi}H`).replaceAll('\n', '\r\n');
}

/** A terminal as Ink wants one: `write` gets what is to be shown, `size` is asked at each drawing. */
export function terminalFor(write: (bytes: string) => void, size: () => Size): NodeJS.WriteStream {
  const stream = new Writable({
    decodeStrings: false,
    write(bytes, _encoding, done) {
      write(String(bytes));
      done();
    },
  });
  Object.defineProperty(stream, 'isTTY', { value: true });
  Object.defineProperty(stream, 'columns', { get: () => size().columns });
  Object.defineProperty(stream, 'rows', { value: Number.MAX_SAFE_INTEGER });
  return stream as unknown as NodeJS.WriteStream;
}
