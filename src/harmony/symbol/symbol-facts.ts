/**
 * A chord symbol explained: the tones it names, what may be added, what to handle with care, and
 * how else it is written.
 */

import { type ChordType, calledDegree } from '../chord/chord-type.ts';
import { tensionsInKey, tensionsOfFamily } from '../chord/tension.ts';
import type { Key } from '../key/key.ts';
import { type Degree, neutralDegrees, semitonesOf } from '../pitch/degree.ts';
import { has, membersOf, relativeTo } from '../pitch/pitch-class-set.ts';
import { isSamePitchName, pitchClassOfSpelled, spellDegree } from '../pitch/pitch-name.ts';
import { bassOf, type ChordSymbol, soundOf } from './chord-symbol.ts';
import { formatName, formatSymbol, type Lettering } from './format-symbol.ts';
import { parseSymbol } from './parse-symbol.ts';

export type SymbolTone = {
  /** Without octave. */
  readonly name: string;
  readonly degree: string;
  readonly pitchClass: number;
};

export type SymbolFacts = {
  readonly symbol: string;
  readonly root: string;
  readonly bass: string;
  /** Id of the chord type, or 'polychord'. */
  readonly quality: string;
  readonly tones: readonly SymbolTone[];
  readonly tensions: readonly Degree[];
  readonly care: readonly Degree[];
  readonly aliases: readonly string[];
};

/** Tones by degree above the root; a foreign bass and a lower chord among them. */
function tonesOf(symbol: ChordSymbol, style: Lettering): SymbolTone[] {
  const { root } = symbol.lower ?? symbol;
  const type = (symbol.lower ?? symbol).type;
  const fromRoot = relativeTo(soundOf(symbol), pitchClassOfSpelled(root));
  const extra = membersOf(fromRoot)
    .filter((semitones) => !has(type.tones, semitones))
    .map((semitones) => neutralDegrees[semitones] ?? '1');
  return [...type.degrees, ...extra].map((degree) => {
    const isBass =
      symbol.bass !== undefined &&
      pitchClassOfSpelled(symbol.bass) === (pitchClassOfSpelled(root) + semitonesOf(degree)) % 12;
    const spelled = isBass && symbol.bass !== undefined ? symbol.bass : spellDegree(root, degree);
    return {
      name: formatName(spelled, style),
      degree: calledDegree(degree, type),
      pitchClass: pitchClassOfSpelled(spelled),
    };
  });
}

/** On C an augmented triad is not called C#5, which is another chord. */
function aliasesOf({ root, type }: ChordSymbol, style: Lettering): string[] {
  return type.aliases
    .filter((alias) => {
      const read = parseSymbol(`${formatName(root)}${alias}`);
      return read.ok && read.value.type === type && isSamePitchName(read.value.root, root);
    })
    .map((alias) => `${formatName(root, style)}${alias}`);
}

function beyond(type: ChordType, members: readonly Degree[]): Degree[] {
  return members.filter((degree) => !has(type.tones, semitonesOf(degree)));
}

export function symbolFacts(
  symbol: ChordSymbol,
  key: Key | undefined,
  style: Lettering = 'ascii',
): SymbolFacts {
  const { root, type } = symbol.lower ?? symbol;
  const rootClass = pitchClassOfSpelled(root);
  const inKey = key === undefined ? undefined : tensionsInKey(key, rootClass, type);
  const { tensions, care } = inKey ?? tensionsOfFamily(type);
  const bass = symbol.lower === undefined ? (symbol.bass ?? symbol.root) : root;
  if (bassOf(symbol) !== pitchClassOfSpelled(bass)) throw new Error('a symbol has one bass');
  return {
    symbol: formatSymbol(symbol, style),
    root: formatName(root, style),
    bass: formatName(bass, style),
    quality: symbol.lower === undefined ? type.id : 'polychord',
    tones: tonesOf(symbol, style),
    tensions: beyond(type, tensions),
    care: beyond(type, care),
    aliases: symbol.lower === undefined ? aliasesOf(symbol, style) : [],
  };
}
