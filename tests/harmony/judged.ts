/** What the comparisons with other readings share: tones as text, and a table that explains each difference. */
import { expect } from 'vitest';
import { semitonesOf } from '../../src/harmony/pitch/degree.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';

/** Tones in semitones above the root, each once: '0 4 7'. */
export function ascending(tones: readonly number[]): string {
  return [...new Set(tones.map((tone) => ((tone % 12) + 12) % 12))]
    .sort((one, other) => one - other)
    .join(' ');
}

/** The tones of a symbol as we read it; undefined where we do not. */
export function readByUs(symbol: string): string | undefined {
  const parsed = parseSymbol(symbol);
  return parsed.ok ? ascending(parsed.value.type.degrees.map(semitonesOf)) : undefined;
}

/** Why we differ, and where. */
export type Judged = Readonly<Record<string, readonly string[]>>;

export function expectOnly(found: readonly string[], judged: Judged): void {
  expect([...new Set(found)].sort()).toEqual([...new Set(Object.values(judged).flat())].sort());
}
