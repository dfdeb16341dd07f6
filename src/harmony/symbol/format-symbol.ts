/**
 * Writes chord symbols: ASCII, or with the signs of engraved music (♭ ♯ Δ ø °). Alterations stand in
 * parentheses, low to high. What is written here parses back to the same chord (parse-symbol.ts).
 */

import type { ChordType } from '../chord/chord-type.ts';
import { formatPitchClass, type SpelledPitchClass } from '../pitch/pitch-name.ts';
import type { ChordSymbol } from './chord-symbol.ts';

export const lettering = ['ascii', 'unicode'] as const;
export type Lettering = (typeof lettering)[number];

function withSigns(text: string): string {
  return text.replaceAll('#', '♯').replace(/b(?=[b\d]|$)/gu, '♭');
}

/** What stands behind the root. */
export function formatType(type: ChordType, style: Lettering = 'ascii'): string {
  if (style === 'ascii') return type.symbol;
  const signs = type.symbol
    .replace(/^m(7|9|11)\(b5\)/u, 'ø$1')
    .replace(/^dim/u, '°')
    .replaceAll('maj', 'Δ');
  return withSigns(signs);
}

export function formatName(spelled: SpelledPitchClass, style: Lettering = 'ascii'): string {
  const name = formatPitchClass(spelled);
  return style === 'ascii' ? name : withSigns(name);
}

export function formatSymbol(symbol: ChordSymbol, style: Lettering = 'ascii'): string {
  const type = formatType(symbol.type, style);
  // 'Ebb9' could be Eb with a flattened ninth: 'Ebb(9)' cannot.
  const isDoubtful = Math.abs(symbol.root.accidental) > 1 && /^(?:5|6|9|11|13)/u.test(type);
  const upper = `${formatName(symbol.root, style)}${isDoubtful ? `(${type})` : type}`;
  if (symbol.lower !== undefined) return `${upper}\\${formatSymbol(symbol.lower, style)}`;
  return symbol.bass === undefined ? upper : `${upper}/${formatName(symbol.bass, style)}`;
}
