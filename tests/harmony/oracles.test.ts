/**
 * Two independent libraries beside ours: chord-symbol 4.0.0 and teoria 2.5.0 (both MIT, by other
 * hands). Where both they and we know a symbol, its tones agree, but for the cases named here.
 */
import { createRequire } from 'node:module';
import { describe, expect, test } from 'vitest';
import { chordTypes } from '../../src/harmony/chord/chord-type.ts';
import { parsePitchClass, pitchClassOfSpelled } from '../../src/harmony/pitch/pitch-name.ts';
import { ascending, expectOnly, readByUs } from './judged.ts';

type ChordSymbolLibrary = {
  readonly chordParserFactory: () => (symbol: string) => {
    readonly error?: unknown;
    readonly normalized?: { readonly semitones: readonly number[] };
  };
};
type Teoria = { readonly chord: (symbol: string) => { readonly simple: () => readonly string[] } };

// Neither package has types or a main file that ES modules can load.
const require = createRequire(import.meta.url);
const parseElsewhere = (
  require('chord-symbol/lib/chord-symbol.js') as ChordSymbolLibrary
).chordParserFactory();
const teoria = require('teoria') as Teoria;

function byChordSymbol(symbol: string): string | undefined {
  const parsed = parseElsewhere(symbol);
  const isRead = parsed.error === undefined || (parsed.error as readonly unknown[]).length === 0;
  return isRead && parsed.normalized !== undefined
    ? ascending(parsed.normalized.semitones)
    : undefined;
}

function byTeoria(symbol: string): string | undefined {
  try {
    const tones = teoria
      .chord(symbol)
      .simple()
      .map((name) => parsePitchClass(name.replace('x', '##')));
    if (tones.some((tone) => tone === undefined)) return undefined;
    return ascending(tones.map((tone) => (tone === undefined ? 0 : pitchClassOfSpelled(tone))));
  } catch {
    return undefined;
  }
}

/** Behind a C, '#5' and 'b5' would name another root. */
const symbols = [
  ...new Set(
    chordTypes
      .flatMap((type) => [type.symbol, ...type.aliases])
      .filter((suffix) => !/^[#b]/.test(suffix))
      .map((suffix) => `C${suffix}`),
  ),
];

function disagreements(theirs: (symbol: string) => string | undefined): string[] {
  return symbols.filter((symbol) => {
    const tones = theirs(symbol);
    return tones !== undefined && tones !== readByUs(symbol);
  });
}

function known(theirs: (symbol: string) => string | undefined): number {
  return symbols.filter((symbol) => theirs(symbol) !== undefined).length;
}

describe('other libraries', () => {
  test('chord-symbol', () => {
    expect(known(byChordSymbol)).toBeGreaterThan(230);
    expectOnly(disagreements(byChordSymbol), {
      'it reads a parenthesised 9 on a sixth chord as a dominant ninth; the alias table says six nine':
        ['C6(9)', 'Cm6(9)'],
      'plus and minus are signs before a number for us, augmented and minor for it': [
        'C7+11',
        'C7+9',
        'C7-13',
        'C7-9',
      ],
      'b6 takes the place of the 5th, as b13 does': ['C7(b6)'],
      'dim9 keeps the diminished seventh for us': ['Cdim9', 'Co9', 'C°9'],
      'an 11 named beside a 7 brings no 9th along for us': ['Cm7(11)'],
      'b13 leaves the 5th of a minor or major seventh alone for us': [
        'Cm7(b13)',
        'Cm7b13',
        'Cmaj7(b13)',
        'Cmaj7b13',
      ],
      'sus9 is a suspended second, susb9 a dominant, in the alias table': ['Csus9', 'Csusb9'],
    });
  });

  test('teoria', () => {
    expect(known(byTeoria)).toBeGreaterThan(150);
    expectOnly(disagreements(byTeoria), {
      'it stacks the 11th under every 13th, and the 9th under every 11th': [
        'C13',
        'C13#9',
        'C13(#9)',
        'C13(b5)',
        'C13(b9)',
        'C13b5',
        'C13b9',
        'C6#11',
        'C6(#11)',
        'C7#11',
        'C7#11b13',
        'C7#9b13',
        'C7(#11)',
        'C7(#11,b13)',
        'C7(#9,b13)',
        'C7(b13)',
        'C7(b9,b13)',
        'C7b13',
        'C7b9b13',
        'C9(b13)',
        'C9b13',
        'CM13',
        'CM7#11',
        'Cm7(b13)',
        'Cm7b13',
        'Cma13',
        'Cmaj13',
        'Cmaj7#11',
        'Cmaj7(#11)',
        'Cmaj7(b13)',
        'Cmaj7b13',
      ],
      'it adds sevenths and ninths to a triad with an 11': ['C(#11)', 'C(add#11)', 'Cadd#11'],
      'it keeps the 3rd beside a dominant 11': ['C11', 'C11(b9)'],
      'it keeps the 5th beside b13': ['C7sus4(b9,b13)', 'C7sus4b9b13'],
      'it knows one altered ninth at a time': ['C13(b9,#9)', 'C13b9#9', 'C7(b9,#9)', 'C7b9#9'],
      'it does not know these words and leaves them out': [
        'C(omit3)',
        'C7(b10)',
        'C7(b6)',
        'Cadd2',
        'Cadd4',
        'Cadd6',
        'Cdim7(addmaj7)',
        'Cm7(b6)',
        'Cm7add4',
        'Csus24',
        'Csus2sus4',
        'Csus9',
      ],
      'a bare maj is a major seventh for it, a triad in the alias table': ['Cmaj'],
    });
  });
});
