/**
 * The places of a tune that a player can be at: its chords as they are played, silence left out, and
 * where sections begin.
 */
import { parseSymbol } from '../harmony/symbol/parse-symbol.ts';
import { type WrittenSymbol, writtenSymbol } from './likeness.ts';
import type { Tune } from './tune.ts';

export type Places = {
  /** Of each place the chord of the tune. */
  readonly chords: readonly number[];
  /** Of each chord of the tune its place; none for silence. */
  readonly placeOf: ReadonlyMap<number, number>;
  /** Of each place which of the symbols is written. */
  readonly symbolAt: Int32Array;
  readonly symbols: readonly WrittenSymbol[];
  readonly start: Float64Array;
  /** Places where sections begin, the first place among them. */
  readonly openings: readonly number[];
  /** Of each opening which section of the page. */
  readonly pages: readonly number[];
  readonly length: number;
};

export function placesOf({ chords, length }: Tune): Places {
  const symbols: WrittenSymbol[] = [];
  const byText = new Map<string, number>();
  const found: number[] = [];
  const symbolAt: number[] = [];
  chords.forEach(({ symbol: text }, index) => {
    const known = byText.get(text);
    const parsed = known === undefined && text !== '' ? parseSymbol(text) : undefined;
    const number = known ?? (parsed?.ok === true ? symbols.length : undefined);
    if (number === undefined) return;
    if (parsed?.ok === true) symbols.push(writtenSymbol(text, parsed.value));
    byText.set(text, number);
    found.push(index);
    symbolAt.push(number);
  });
  const isOpening = (index: number, place: number): boolean => {
    const { section, opensSection } = chords[index] ?? { section: '', opensSection: false };
    const before = chords[found[place - 1] ?? -1]?.section;
    return place === 0 || opensSection || before !== section;
  };
  const openings = found.flatMap((index, place) => (isOpening(index, place) ? [place] : []));
  return {
    chords: found,
    placeOf: new Map(found.map((index, place) => [index, place])),
    symbolAt: Int32Array.from(symbolAt),
    symbols,
    start: Float64Array.from(found, (index) => chords[index]?.start ?? 0),
    openings,
    pages: openings.map((place) => chords[found[place] ?? 0]?.writtenBar ?? 0),
    length,
  };
}

/** Quarter notes on from one place to another, round the end of the tune. */
export function distance({ start, length }: Places, from: number, to: number): number {
  const straight = (start[to] ?? 0) - (start[from] ?? 0);
  return to > from ? straight : straight + length;
}
