/**
 * Reads a chart's text (syntax.ts has the table). Everything wrong is found in one go, each with
 * line and column; a chart with a problem yields no chart at all.
 */
import type { ChordSymbol } from '../harmony/chord-symbol.ts';
import { parseSymbol, saysNoChord } from '../harmony/parse-symbol.ts';
import type { Problem } from '../presets/problem.ts';
import { barsOf, type Fault, type Share } from './bars.ts';
import type { Chart, ChartChord } from './chart.ts';
import { headingLine, plainHeading, readHeading } from './heading.ts';
import { type Token, tokensOf } from './token.ts';

export type ParsedChart =
  | { readonly ok: true; readonly value: Chart }
  | { readonly ok: false; readonly problems: readonly Problem[] };

type Read =
  | { readonly ok: true; readonly symbol: ChordSymbol | undefined }
  | { readonly ok: false; readonly message: string };

/** Each text is read once: long charts say the same over and over. */
function createReader(): (text: string) => Read {
  const known = new Map<string, Read>();
  return (text) => {
    const before = known.get(text);
    if (before !== undefined) return before;
    const read = readSymbol(text);
    known.set(text, read);
    return read;
  };
}

function readSymbol(text: string): Read {
  if (saysNoChord(text)) return { ok: true, symbol: undefined };
  const parsed = parseSymbol(text.replace('\\', '|'));
  if (parsed.ok) return { ok: true, symbol: parsed.value };
  return { ok: false, message: `${parsed.problem}.` };
}

/** The symbols of a chart, in the order they are written, with what cannot be read. */
function faultsOf(
  lines: readonly (readonly PlacedToken[])[],
  read: (text: string) => Read,
): Fault[] {
  return lines.flat().flatMap((token) => {
    if (token.kind !== 'chord') return [];
    const result = read(token.text);
    if (result.ok) return [];
    return [{ line: token.line, column: token.column, message: result.message }];
  });
}

type PlacedToken = Token & { readonly line: number };

function layOut(
  bars: readonly (readonly Share[])[],
  read: (text: string) => Read,
  faults: Fault[],
): ChartChord[] {
  const chords: ChartChord[] = [];
  bars.forEach((shares, index) => {
    let beat = 1;
    for (const { token, line, beats } of shares) {
      const last = chords.at(-1);
      if (token !== undefined) {
        const result = read(token.text);
        const symbol = result.ok ? result.symbol : undefined;
        chords.push({ text: token.text, symbol, bar: index + 1, beat, beats });
      } else if (last === undefined) {
        faults.push({
          line,
          column: 1,
          message: "'/' holds on the chord before, and there is none.",
        });
      } else {
        chords[chords.length - 1] = { ...last, beats: last.beats + beats };
      }
      beat += beats;
    }
  });
  return chords;
}

function refuse(faults: readonly Fault[]): ParsedChart {
  const problems = faults.map((each) => ({ ...each, path: '' }));
  return { ok: false, problems: problems.sort((a, b) => a.line - b.line || a.column - b.column) };
}

/** Never throws, whatever the text. */
export function parseChart(text: string): ParsedChart {
  const heading = plainHeading();
  const faults: Fault[] = [];
  const music: PlacedToken[][] = [];
  text.split(/\r\n|\n|\r/u).forEach((content, index) => {
    const line = index + 1;
    if (/^\s*(?:#|$)/u.test(content)) return;
    const head = headingLine(content);
    if (head === undefined) {
      music.push(tokensOf(content).map((token) => ({ ...token, line })));
      return;
    }
    const wrong = readHeading(head, heading);
    if (wrong !== undefined) faults.push({ line, ...wrong });
  });
  const read = createReader();
  faults.push(...faultsOf(music, read));
  const laid = barsOf(music, heading.metre.beats);
  faults.push(...laid.faults);
  const chords = layOut(laid.bars, read, faults);
  if (chords.length === 0 && faults.length === 0) {
    faults.push({
      line: 1,
      column: 1,
      message: 'There is no chord in this chart; write one, such as | C |.',
    });
  }
  if (faults.length > 0) return refuse(faults);
  return { ok: true, value: { ...heading, bars: laid.bars.length, chords } };
}
