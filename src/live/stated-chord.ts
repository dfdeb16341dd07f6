/**
 * A chord that somebody has stated by its symbol: the keys that come with it are that chord, whatever
 * else their notes could be called. Root, quality, tensions and bass are the player's statement, as they
 * are in a chart; what hands play beside it or after it is heard.
 */
import type { Chord } from '../harmony/chord/chord.ts';
import { spelledChordOf } from '../harmony/chord/spelled-chord.ts';
import { formatSymbol } from '../harmony/symbol/format-symbol.ts';
import { parseSymbol } from '../harmony/symbol/parse-symbol.ts';

/** What a key was struck for: all keys that came with the symbol have the same object. */
export type Stated = {
  readonly chord: Chord;
  /** How many keys it came with: fewer of them are notes like any others. */
  readonly keys: number;
};

/** Undefined where the text is no chord symbol. */
export function statedAs(symbol: string, keys: number): Stated | undefined {
  const parsed = parseSymbol(symbol);
  if (!parsed.ok) return undefined;
  const { chord, root, isBassWritten } = spelledChordOf(parsed.value);
  const written = { symbol: parsed.value, root, isStated: true } as const;
  return { chord: { ...chord, written, ...(isBassWritten && { isBassApart: true }) }, keys };
}

/** What these keys were stated to be, all of them together. */
export function statedBy(keys: readonly { readonly stated?: Stated }[]): Chord | undefined {
  const stated = keys[0]?.stated;
  if (stated === undefined || keys.length !== stated.keys) return undefined;
  return keys.every((key) => key.stated === stated) ? stated.chord : undefined;
}

/**
 * Of what keys were stated to be and what a tune has there: the tune's, where it is the same symbol, for
 * with that come its lead and what was chosen for it.
 */
export function statedOrWritten(
  stated: Chord | undefined,
  inTune: Chord | undefined,
): Chord | undefined {
  if (stated?.written === undefined || inTune?.written === undefined) return stated ?? inTune;
  const isSame = formatSymbol(stated.written.symbol) === formatSymbol(inTune.written.symbol);
  return isSame ? inTune : stated;
}
