/**
 * What comes from outside (titles, symbols, names of files, ports and takes) may hold characters that
 * steer a terminal: they could move the cursor, colour what follows, set the clipboard or turn the
 * reading direction. Printed, such a character is its number instead. The form is JSON's own, so that
 * an answer that is JSON stays the same value.
 */
import type { Streams, TextStream } from './definition.ts';

/** Control characters but for line feeds and tabs, line and paragraph separators, direction marks. */
const steering = /(?![\n\t])[\p{Cc}\u2028\u2029\u061C\u200E\u200F\u202A-\u202E\u2066-\u2069]/gu;

export function visible(text: string): string {
  return text.replace(steering, asNumber);
}

/** For what stands inside a sentence: line feeds and tabs too. */
export function visibleInLine(text: string): string {
  return visible(text).replace(/[\n\t]/g, asNumber);
}

function asNumber(character: string): string {
  return `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`;
}

/** The same streams, but that nothing printed there can steer a terminal. */
export function visibleStreams({ stdout, stderr }: Streams): Streams {
  return { stdout: visibleStream(stdout), stderr: visibleStream(stderr) };
}

function visibleStream(stream: TextStream): TextStream {
  return {
    // Asked each time: a terminal may be given another size.
    get isTTY() {
      return stream.isTTY ?? false;
    },
    get columns() {
      return stream.columns;
    },
    write: (text) => stream.write(visible(text)),
    draw: (text) => stream.write(text),
  };
}
