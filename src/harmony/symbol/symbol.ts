/**
 * Chord symbols as text: ASCII, alterations in parentheses, low to high. A slash names the bass
 * when it is not the root.
 */

import type { Chord } from '../chord/chord.ts';
import { type ChordType, chordType, chordTypes } from '../chord/chord-type.ts';
import { type Hybrid, hybrids } from '../chord/hybrid.ts';
import { spellInKey, spellPlainly, spellRoot } from '../chord/spelling.ts';
import type { Key } from '../key/key.ts';
import { type Degree, neutralDegrees } from '../pitch/degree.ts';
import { has, type PitchClassSet, sizeOf } from '../pitch/pitch-class-set.ts';
import {
  enharmonics,
  fifthsOf,
  isSameName,
  pitchClassOfSpelled,
  type SpelledPitchClass,
  spellDegree,
  spellNear,
} from '../pitch/pitch-name.ts';
import type { Reading } from '../recognition/reading.ts';
import type { ChordSymbol } from './chord-symbol.ts';
import { formatSymbol, type Lettering } from './format-symbol.ts';

/**
 * The name of a note as a tone of a chord: by its degree, or by the key where it is foreign. Nobody
 * reads double accidentals over a chord symbol: the raised ninth of E is a G, the third of Gbm an A.
 * The root alone is as it is written. Common practice, no source.
 */
export function spellInChord(
  pitchClass: number,
  root: SpelledPitchClass,
  degreeAt: readonly (Degree | undefined)[],
  key: Key | undefined,
): SpelledPitchClass {
  const semitones = (pitchClass - pitchClassOfSpelled(root) + 12) % 12;
  if (semitones === 0) return root;
  const degree = degreeAt[semitones] ?? neutralDegrees[semitones];
  if (degree === undefined) return spellInKey(pitchClass, key);
  const spelled = readably(degree, root, degreeAt, key) ?? spellDegree(root, degree);
  return isReadable(spelled) ? spelled : spellPlainly(pitchClass, key);
}

/** Where a reader expects another letter than the degree's; undefined: nowhere. */
function readably(
  degree: Degree,
  root: SpelledPitchClass,
  degreeAt: readonly (Degree | undefined)[],
  key: Key | undefined,
): SpelledPitchClass | undefined {
  const isFlat = (each: Degree): boolean =>
    degreeAt.includes(each) && spellDegree(root, each).accidental < 0;
  if (degree === '#9') {
    // No sharp beside flats, no E# or B#: the raised ninth of C is an Eb in F, that of D an F.
    const isAmongFlats = (key !== undefined && key.fifths < 0) || flattening.some(isFlat);
    const isOdd = isUnusualBass(spellDegree(root, degree));
    return isAmongFlats || isOdd ? spellDegree(root, 'b3') : undefined;
  }
  if (!degreeAt.includes('bb7')) return undefined;
  // A diminished seventh has no Fb or Cb, and no second note on the letter of its seventh.
  if (degree === 'bb7') {
    return isUnusualBass(spellDegree(root, degree)) ? spellDegree(root, '6') : undefined;
  }
  return degree === '7' ? { ...root, accidental: root.accidental - 1 } : undefined;
}

/** Degrees whose flat has a raised ninth written as one, too. */
const flattening: readonly Degree[] = ['b7', 'b9', 'b13'];

function isReadable({ accidental }: SpelledPitchClass): boolean {
  return Math.abs(accidental) < 2;
}

/**
 * One name for each pitch class of a chord and its symbol: the bass as the symbol has it, the tones
 * of an upper chord as tones of that, all others by their degrees. `degreeAt`: from the root that
 * rules the whole, which `symbol` may name as its bass (E/A, a major ninth on A).
 */
export function spellingOf(
  symbol: ChordSymbol,
  degreeAt: readonly (Degree | undefined)[],
  key: Key | undefined,
): (pitchClass: number) => SpelledPitchClass {
  const { root, type, bass, lower } = symbol;
  const isTone = (pitchClass: number, of: ChordSymbol): boolean =>
    has(of.type.tones, (pitchClass - pitchClassOfSpelled(of.root) + 12) % 12);
  return (pitchClass) => {
    if (lower !== undefined) {
      const isUpper = isTone(pitchClass, symbol) && !isTone(pitchClass, lower);
      if (isUpper) return spellInChord(pitchClass, root, type.degreeAt, key);
      return spellInChord(pitchClass, lower.root, degreeAt, key);
    }
    if (bass === undefined) return spellInChord(pitchClass, root, degreeAt, key);
    const bassClass = pitchClassOfSpelled(bass);
    if (pitchClass === bassClass) return bass;
    const isOverForeign = isTone(pitchClass, symbol) && !isTone(bassClass, symbol);
    return spellInChord(pitchClass, root, isOverForeign ? type.degreeAt : degreeAt, key);
  };
}

/** The root as it was written, or as the key and the chord's own tones suggest. */
export function rootOf({ root, type, written }: Chord, key: Key | undefined): SpelledPitchClass {
  return written?.root ?? spellRoot(root, type, key);
}

/**
 * A minor seventh with an eleventh is written m11, with its ninth or without, as the stack of fourths
 * 1 11 b7 b3 5 is. Common practice, no source.
 */
export function calledType(type: ChordType): ChordType {
  return type.id === 'minor-seventh-added-eleventh' ? chordType('minor-eleventh') : type;
}

/** The chord as a symbol's parts: root, type and bass as spelled in the key, or on a given root. */
export function symbolOf(
  chord: Chord,
  key: Key | undefined,
  root: SpelledPitchClass = rootOf(chord, key),
): ChordSymbol {
  const { reading } = chord;
  const type = calledType(chord.type);
  if (reading.upper !== undefined) {
    const upper = (chord.root + reading.upper.above) % 12;
    return {
      root: spellRoot(upper, reading.upper.type, key),
      type: reading.upper.type,
      lower: { root, type },
    };
  }
  if (chord.bass === chord.root) return { root, type };
  const isForeign = reading.bassRole === 'foreign';
  const bass = isForeign
    ? spellBass(chord.bass, root, key)
    : spellInChord(chord.bass, root, type.degreeAt, key);
  return { root, type, bass };
}

/** Names nobody gives a bass on its own: from Cb down and from E# up. */
const isUnusualBass = (spelled: SpelledPitchClass): boolean => Math.abs(fifthsOf(spelled) - 2) > 8;

/** A bass by itself, in the key or near the root. */
export function spellBass(
  pitchClass: number,
  root: SpelledPitchClass,
  key: Key | undefined,
): SpelledPitchClass {
  if (key !== undefined) return spellInKey(pitchClass, key);
  const near = spellNear(pitchClass, fifthsOf(root) + 1);
  return isUnusualBass(near) ? spellNear(pitchClass, 0) : near;
}

/** The symbol of a chord as heard or written: 'Am/C', 'G/C', 'D\C'. */
export function formatChord(
  chord: Chord,
  key: Key | undefined,
  style: Lettering = 'ascii',
): string {
  if (chord.written !== undefined) return formatSymbol(chord.written.symbol, style);
  const hybrid = hybridOf(chord.reading);
  if (hybrid === undefined) return formatSymbol(symbolOf(chord, key), style);
  return formatSymbol(hybridSymbol(hybrid, rootOf(chord, key), key, chord.type.degreeAt), style);
}

/** The hybrid a reading is: its upper chord and where it stands. */
export function hybridOf({ isHybrid, type, omitted }: Reading): Hybrid | undefined {
  if (!isHybrid) return undefined;
  const sounding = type.degrees.filter((degree) => !omitted.includes(degree));
  const set = sounding.reduce((mask, degree) => mask | (1 << type.degreeAt.indexOf(degree)), 0);
  return hybrids.find((hybrid) => (hybrid.tones | 1) === set);
}

/** What a double accidental in an upper chord counts as, and a root such as Cb or E#, in tones that differ. */
const spellingCosts = { double: 1.5, unusualRoot: 1.5 } as const;

/**
 * The name of an upper chord's root, of all names the one that calls most of its tones as the whole
 * does: Db/G rather than C#/G over G7alt, which has an F and an Ab. `nameOf`: what the whole calls them.
 */
export function spellUpperRoot(
  pitchClass: number,
  type: ChordType,
  key: Key | undefined,
  nameOf: (pitchClass: number) => SpelledPitchClass,
): SpelledPitchClass {
  const cost = (root: SpelledPitchClass): number => {
    const tones = type.degrees.map((degree) => spellDegree(root, degree));
    const differing = tones.filter((tone) => !isSameName(tone, nameOf(pitchClassOfSpelled(tone))));
    const doubles = tones.filter((tone) => !isReadable(tone));
    const odd = isUnusualBass(root) ? spellingCosts.unusualRoot : 0;
    return differing.length + doubles.length * spellingCosts.double + odd;
  };
  return enharmonics(pitchClass)
    .filter(isReadable)
    .reduce(
      (best, each) => (cost(each) < cost(best) ? each : best),
      spellRoot(pitchClass, type, key),
    );
}

/**
 * 'E/A': the upper chord over the root of what both stand for.
 * @param degreeAt what the whole calls its tones, where that is known better than from the hybrid.
 */
export function hybridSymbol(
  { upper: type, above, degreeAt: own }: Hybrid,
  root: SpelledPitchClass,
  key: Key | undefined,
  degreeAt: readonly (Degree | undefined)[] = [],
): ChordSymbol {
  const bassClass = pitchClassOfSpelled(root);
  const nameOf = (pitchClass: number): SpelledPitchClass => {
    const semitones = (pitchClass - bassClass + 12) % 12;
    return spellDegree(root, degreeAt[semitones] ?? own[semitones] ?? '1');
  };
  return { root: spellUpperRoot((bassClass + above) % 12, type, key, nameOf), type, bass: root };
}

const missing = { required: 4, third: 3, other: 1 } as const;

/** How badly a type names a set of tones over its root: 0 is a perfect name. */
function misfit(type: ChordType, fromRoot: PitchClassSet): number {
  if ((fromRoot & ~type.tones) !== 0) return Number.POSITIVE_INFINITY;
  const absent = type.tones & ~fromRoot & ~1;
  const needed = sizeOf(absent & type.required) * missing.required;
  const third = has(absent, 3) || has(absent, 4) ? missing.third : 0;
  return needed + third + sizeOf(absent) * missing.other + type.rarity;
}

function bestName(
  fromRoot: PitchClassSet,
  mayName: (type: ChordType) => boolean,
): ChordType | undefined {
  let best: ChordType | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const type of chordTypes) {
    const away = misfit(type, fromRoot);
    if (away < least && mayName(type)) {
      best = type;
      least = away;
    }
  }
  return best;
}

const names = new Map<PitchClassSet, ChordType | undefined>();

/**
 * The chord type that best names tones over a known root, the root itself not needed among them;
 * undefined when no name in the dictionary holds them all.
 */
export function nameOver(fromRoot: PitchClassSet): ChordType | undefined {
  if (!names.has(fromRoot))
    names.set(
      fromRoot,
      bestName(fromRoot, () => true),
    );
  return names.get(fromRoot);
}

/** Tones a name implies and nobody misses: a natural fifth, what a 13th stands on. */
function impliedBy({ degrees }: ChordType): PitchClassSet {
  const implied = 1 | (degrees.includes('5') ? 1 << 7 : 0);
  if (!degrees.includes('13')) return implied;
  const ninth = degrees.includes('9') ? 1 << 2 : 0;
  return implied | ninth | (degrees.includes('b3') ? 1 << 5 : 0);
}

const exactNames = new Map<PitchClassSet, ChordType | undefined>();

/** The same, but the name claims nothing that does not sound, save what goes without saying. */
export function exactNameOver(fromRoot: PitchClassSet): ChordType | undefined {
  if (!exactNames.has(fromRoot)) {
    const claims = (type: ChordType): PitchClassSet => type.tones & ~fromRoot & ~impliedBy(type);
    exactNames.set(
      fromRoot,
      bestName(fromRoot, (type) => claims(type) === 0),
    );
  }
  return exactNames.get(fromRoot);
}
