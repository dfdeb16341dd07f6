/**
 * Reads a chart's text (syntax.ts has the table). Everything wrong is found in one go, each with
 * line and column; a chart with a problem yields no chart at all.
 */
import type { ChordSymbol } from '../harmony/chord-symbol.ts';
import { parseSymbol, saysNoChord } from '../harmony/parse-symbol.ts';
import { quartersIn } from '../midi/beat-note.ts';
import { commonTime, formatMetre, isSameMetre, type Metre } from '../midi/metre.ts';
import type { Problem } from '../presets/problem.ts';
import { type Bar, barsOf, type Fault, type MusicLine } from './bars.ts';
import { type Chart, type ChartChord, type ChartMetre, quartersOf } from './chart.ts';
import { headingLine, plainHeading, readHeading } from './heading.ts';
import { tokensOf } from './token.ts';

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
  const parsed = parseSymbol(text);
  if (parsed.ok) return { ok: true, symbol: parsed.value };
  return { ok: false, message: `${parsed.problem}.` };
}

/** The symbols of a chart, in the order they are written, with what cannot be read. */
function faultsOf(lines: readonly MusicLine[], read: (text: string) => Read): Fault[] {
  return lines
    .flatMap(({ tokens }) => tokens)
    .flatMap((token) => {
      if (token.kind !== 'chord') return [];
      const result = read(token.text);
      if (result.ok) return [];
      return [{ line: token.line, column: token.column, message: result.message }];
    });
}

/** A bar in its place. */
type PlacedBar = Bar & {
  readonly number: number;
  readonly firstBeat: number;
  /** Quarter notes from the beginning of the chart. */
  readonly start: number;
};

function placeBars(bars: readonly Bar[], pickup: number): PlacedBar[] {
  let start = 0;
  return bars.map((bar, index) => {
    const beats = bar.isPickup ? pickup : bar.metre.beats;
    const firstBeat = bar.metre.beats - beats + 1;
    const placed = { ...bar, number: index + (pickup > 0 ? 0 : 1), firstBeat, start };
    start += quartersOf(beats, bar.metre);
    return placed;
  });
}

function metresOf(bars: readonly PlacedBar[]): readonly ChartMetre[] {
  return bars
    .filter(({ metre }, index) => {
      const before = bars[index - 1]?.metre;
      return before === undefined || !isSameMetre(before, metre);
    })
    .map(({ metre, start }) => ({ ...metre, start }));
}

function chordsOf(
  bars: readonly PlacedBar[],
  read: (text: string) => Read,
  faults: Fault[],
): ChartChord[] {
  const chords: ChartChord[] = [];
  /** In which the last chord counts its beats. */
  let own = commonTime;
  for (const { shares, metre, number, firstBeat, start } of bars) {
    let beat = firstBeat;
    for (const { token, line, beats } of shares) {
      const last = chords.at(-1);
      const length = quartersOf(beats, metre);
      if (token !== undefined) {
        const result = read(token.text);
        const symbol = result.ok ? result.symbol : undefined;
        const at = start + quartersOf(beat - firstBeat, metre);
        chords.push({ text: token.text, symbol, bar: number, beat, beats, start: at, length });
        own = metre;
      } else if (last === undefined) {
        const message = "'/' holds on the chord before, and there is none.";
        faults.push({ line, column: 1, message });
      } else {
        const longer = last.length + length;
        const held = { beats: (longer * own.unit) / 4, length: longer };
        chords[chords.length - 1] = { ...last, ...held };
      }
      beat += beats;
    }
  }
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
  const music: MusicLine[] = [];
  text.split(/\r\n|\n|\r/u).forEach((content, index) => {
    const line = index + 1;
    if (/^\s*(?:#|$)/u.test(content)) return;
    const head = headingLine(content);
    if (head === undefined) {
      const tokens = tokensOf(content).map((token) => ({ ...token, line }));
      music.push({ tokens, metre: heading.metre });
      return;
    }
    const wrong = readHeading(head, heading, music.length > 0);
    if (wrong !== undefined) faults.push({ line, ...wrong });
  });
  const { title, key, pickup } = heading;
  const metre = music[0]?.metre ?? heading.metre;
  const beatNote = heading.beatNote ?? { unit: metre.unit, dots: 0 };
  const tempo = (heading.tempo * quartersIn(beatNote) * metre.unit) / 4;
  if (pickup >= metre.beats) faults.push(tooLong(pickup, metre));
  const read = createReader();
  faults.push(...faultsOf(music, read));
  const laid = barsOf(music, pickup);
  faults.push(...laid.faults);
  const bars = placeBars(laid.bars, pickup);
  const chords = chordsOf(bars, read, faults);
  if (chords.length === 0 && faults.length === 0) {
    faults.push({
      line: 1,
      column: 1,
      message: 'There is no chord in this chart; write one, such as | C |.',
    });
  }
  if (faults.length > 0) return refuse(faults);
  const [first = { ...metre, start: 0 }, ...others] = metresOf(bars);
  const value: Chart = {
    ...{ title, key, tempo, beatNote, chords },
    metres: [first, ...others],
    pickup: quartersOf(pickup, metre),
    bars: bars.at(-1)?.number ?? 0,
  };
  return { ok: true, value };
}

function tooLong(pickup: number, metre: Metre): Fault {
  const message = `A pick-up of ${pickup} in ${formatMetre(metre)} is a whole bar or more; give fewer beats, or leave it out.`;
  return { line: 1, column: 1, message };
}
