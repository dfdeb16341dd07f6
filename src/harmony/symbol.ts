/**
 * Chord symbols as text: ASCII, alterations in parentheses, low to high. A slash names the bass
 * when it is not the root.
 */

import type { Chord } from './chord.ts';
import type { ChordSymbol } from './chord-symbol.ts';
import { type ChordType, chordTypes } from './chord-type.ts';
import { type Degree, neutralDegrees } from './degree.ts';
import { formatSymbol, type Lettering } from './format-symbol.ts';
import { type Hybrid, hybrids } from './hybrid.ts';
import type { Key } from './key.ts';
import { has, type PitchClassSet, sizeOf } from './pitch-class-set.ts';
import {
  fifthsOf,
  pitchClassOfSpelled,
  type SpelledPitchClass,
  spellDegree,
  spellNear,
} from './pitch-name.ts';
import { spellInKey, spellRoot } from './spelling.ts';

/** The name of a note as a tone of a chord: by its degree, or by the key where it is foreign. */
export function spellInChord(
  pitchClass: number,
  root: SpelledPitchClass,
  degreeAt: readonly (Degree | undefined)[],
  key: Key | undefined,
): SpelledPitchClass {
  const semitones = (pitchClass - pitchClassOfSpelled(root) + 12) % 12;
  const degree = degreeAt[semitones] ?? neutralDegrees[semitones];
  return degree === undefined ? spellInKey(pitchClass, key) : spellDegree(root, degree);
}

/** The root as it was written, or as the key and the chord's own tones suggest. */
export function rootOf({ root, type, written }: Chord, key: Key | undefined): SpelledPitchClass {
  return written?.root ?? spellRoot(root, type, key);
}

/** The chord as a symbol's parts: root, type and bass as spelled in the key, or on a given root. */
export function symbolOf(
  chord: Chord,
  key: Key | undefined,
  root: SpelledPitchClass = rootOf(chord, key),
): ChordSymbol {
  const { reading, type } = chord;
  if (reading.upper !== undefined) {
    const upper = (chord.root + reading.upper.above) % 12;
    return {
      root: spellRoot(upper, reading.upper.type, key),
      type: reading.upper.type,
      lower: { root, type },
    };
  }
  if (chord.bass === chord.root) return { root, type };
  const bass = spellInChord(chord.bass, root, type.degreeAt, key);
  // A bass no chord spells so is spelled by itself: Dbb would hide a C.
  const isReadable = reading.bassRole !== 'foreign' && Math.abs(bass.accidental) < 2;
  return { root, type, bass: isReadable ? bass : spellBass(chord.bass, root, key) };
}

/** Names nobody gives a bass on its own. */
const enharmonicBasses = [-8, -7, 11, 12];

/** A bass by itself, in the key or near the root. */
export function spellBass(
  pitchClass: number,
  root: SpelledPitchClass,
  key: Key | undefined,
): SpelledPitchClass {
  if (key !== undefined) return spellInKey(pitchClass, key);
  const near = spellNear(pitchClass, fifthsOf(root) + 1);
  return enharmonicBasses.includes(fifthsOf(near)) ? spellNear(pitchClass, 0) : near;
}

/** The symbol of a chord as heard or written: 'Am/C', 'G/C', 'D\C'. */
export function formatChord(
  chord: Chord,
  key: Key | undefined,
  style: Lettering = 'ascii',
): string {
  if (chord.written !== undefined) return formatSymbol(chord.written.symbol, style);
  const hybrid = chord.reading.isHybrid ? hybridOf(chord) : undefined;
  if (hybrid === undefined) return formatSymbol(symbolOf(chord, key), style);
  return formatHybrid(hybrid, rootOf(chord, key), key, style);
}

/** The hybrid a reading is: its upper chord and where it stands. */
export function hybridOf(chord: Chord): Hybrid | undefined {
  const sounding = chord.type.degrees.filter((degree) => !chord.reading.omitted.includes(degree));
  const set = sounding.reduce(
    (mask, degree) => mask | (1 << chord.type.degreeAt.indexOf(degree)),
    0,
  );
  return hybrids.find((hybrid) => (hybrid.tones | 1) === set);
}

/** 'E/A': the upper chord over the root of what both stand for. */
export function formatHybrid(
  hybrid: Hybrid,
  root: SpelledPitchClass,
  key: Key | undefined,
  style: Lettering = 'ascii',
): string {
  const pitchClass = (pitchClassOfSpelled(root) + hybrid.above) % 12;
  const named = spellInChord(pitchClass, root, hybrid.degreeAt, key);
  // Nobody writes Ebb over Db.
  const isReadable = Math.abs(named.accidental) < 2;
  const upper = isReadable ? named : spellRoot(pitchClass, hybrid.upper, key);
  return formatSymbol({ root: upper, type: hybrid.upper, bass: root }, style);
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

const names = new Map<PitchClassSet, ChordType | undefined>();

/**
 * The chord type that best names tones over a known root, the root itself not needed among them;
 * undefined when no name in the dictionary holds them all.
 */
export function nameOver(fromRoot: PitchClassSet): ChordType | undefined {
  if (names.has(fromRoot)) return names.get(fromRoot);
  let best: ChordType | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const type of chordTypes) {
    const away = misfit(type, fromRoot);
    if (away < least) {
      best = type;
      least = away;
    }
  }
  names.set(fromRoot, best);
  return best;
}
