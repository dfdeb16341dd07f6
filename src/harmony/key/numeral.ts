/**
 * What a chord is in a key: its numeral ('ii7', 'Imaj7', 'iv(add6)', 'V7sus4', 'viiø7', 'V7/ii',
 * 'subV7') and its role. Numerals count the degrees of the key's own scale, upper case for a major
 * third, lower case for a minor one; a plain 7 is a minor seventh, a major one says maj7, as charts
 * write them.
 * A secondary dominant is the V of what it leads to, a tritone substitute its subV: R. Hutchinson,
 * Music Theory for the 21st-Century Classroom, on secondary dominants, and B. Nettles, Harmony 3, on
 * substitute dominants (both from memory); the rest common practice, no source.
 */
import type { Chord } from '../chord/chord.ts';
import type { ChordType } from '../chord/chord-type.ts';
import { overItsSeventh } from '../chord/palette.ts';
import { spelledChordOf } from '../chord/spelled-chord.ts';
import { spellRoot } from '../chord/spelling.ts';
import { ascent, has } from '../pitch/pitch-class-set.ts';
import { pitchClassOfSpelled, type SpelledPitchClass } from '../pitch/pitch-name.ts';
import { parseSymbol } from '../symbol/parse-symbol.ts';
import { type ChordKind, functionAt, isDiminishedKind, kindOf } from './function.ts';
import type { Key, Mode } from './key.ts';

export type FunctionName = { readonly numeral: string; readonly role: string };

export const noFunction: FunctionName = { numeral: '', role: '' };
const numerals = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'] as const;
/** Semitones of the scale degrees above the tonic. */
const scales: Readonly<Record<Mode, readonly number[]>> = {
  major: [0, 2, 4, 5, 7, 9, 11],
  minor: [0, 2, 3, 5, 7, 8, 10],
};
/** The triads on them, by what a dominant may lead to: a diminished one is no goal. */
const goals = {
  major: ['', 'ii', 'iii', 'IV', 'V', 'vi', undefined],
  minor: ['', undefined, 'III', 'iv', 'V', 'VI', 'VII'],
} as const;

type Degree = {
  /** 0–6. */
  readonly step: number;
  /** How far the root stands from the scale's own degree. */
  readonly off: number;
};

function degreeOf(root: SpelledPitchClass, key: Key): Degree {
  const step = (root.letter - key.tonic.letter + 7) % 7;
  const above = pitchClassOfSpelled(root) - key.pitchClass - (scales[key.mode][step] ?? 0);
  return { step, off: ((((above + 6) % 12) + 12) % 12) - 6 };
}

/** #IV° leads up, bVI is borrowed, #vi is the sixth of the melodic minor; #V is bVI misspelt. */
function isUsual({ step, off }: Degree, type: ChordType, { mode }: Key): boolean {
  if (off === 0) return true;
  if (off === -1) return step !== 0 && step !== 3;
  if (off !== 1) return false;
  const isMinor = has(type.tones, 3) && !has(type.tones, 4);
  return (mode === 'minor' && step > 1) || (isMinor && step === 3) || isDiminishedKind(type);
}

/** The degree above, lowered: A in Db major is its bVI, however it is spelled. */
function asFlat({ step, off }: Degree, { mode }: Key): Degree {
  const scale = scales[mode];
  const above = (scale[step] ?? 0) + off;
  return step === 6 ? { step, off } : { step: step + 1, off: above - (scale[step + 1] ?? 0) };
}

function signFor({ off }: Degree): string {
  return off < 0 ? 'b'.repeat(-off) : '#'.repeat(off);
}

function qualitySign(tones: number): string {
  const isMinorThird = has(tones, 3) && !has(tones, 4);
  const isDiminished = isMinorThird && has(tones, 6) && !has(tones, 7);
  const isAugmented = has(tones, 4) && has(tones, 8) && !has(tones, 7) && !has(tones, 10);
  if (isDiminished) return has(tones, 10) ? 'ø' : '°';
  return isAugmented ? '+' : '';
}

/**
 * The seventh or sixth. In a diminished chord the sixth is the diminished seventh. A 6 alone behind a
 * numeral is the figure of a first inversion (E. Aldwell and C. Schachter, Harmony and Voice Leading,
 * from memory): an added sixth says so, as RomanText ('I[add6]') and LilyPond's snippet 710 ('add6') do.
 */
function seventhSign({ tones, degrees }: ChordType, isMinor: boolean): string {
  if (has(tones, 10)) return '7';
  if (has(tones, 11)) return isMinor ? '(maj7)' : 'maj7';
  if (degrees.includes('bb7')) return '7';
  return has(tones, 9) && degrees.includes('6') ? '(add6)' : '';
}

function suspension({ tones, degrees }: ChordType): string {
  if (has(tones, 3) || has(tones, 4)) return '';
  if (has(tones, 5)) return 'sus4';
  return has(tones, 2) && degrees.length > 2 ? 'sus2' : '';
}

/** The leading tone of a minor key carries its diminished chord without a sign: vii°, not #vii°. */
function isLeadingTone(key: Key, above: number, tones: number): boolean {
  return key.mode === 'minor' && above === 11 && qualitySign(tones) !== '';
}

function byDegree(root: SpelledPitchClass, type: ChordType, key: Key): string {
  const above = ascent(key.pitchClass, pitchClassOfSpelled(root));
  const written = degreeOf(root, key);
  const own = degreeOf(spellRoot(pitchClassOfSpelled(root), type, key), key);
  const nearer = isUsual(own, type, key) || own.off < 1 ? own : asFlat(own, key);
  const degree = isUsual(written, type, key) ? written : nearer;
  const isMinor = has(type.tones, 3) && !has(type.tones, 4);
  const upper = numerals[degree.step] ?? '';
  const sign = isLeadingTone(key, above, type.tones) ? '' : signFor(degree);
  const quality = `${qualitySign(type.tones)}${seventhSign(type, isMinor)}${suspension(type)}`;
  return `${sign}${isMinor ? upper.toLowerCase() : upper}${quality}`;
}

/** By the root of a dominant: how many semitones above its goal it stands, and how it is written. */
const leading = {
  'secondary dominant': { above: 7, name: 'V' },
  'tritone substitute': { above: 1, name: 'subV' },
} as const;

/** 'V7/ii', 'subV7/V', 'subV7' of the tonic; undefined where no degree of the key is the goal. */
function byGoal(
  above: number,
  type: ChordType,
  { name, above: distance }: (typeof leading)[keyof typeof leading],
  { mode }: Key,
): string | undefined {
  const goal = ascent(distance, above);
  const triad = goals[mode][scales[mode].indexOf(goal)];
  if (triad === undefined) return undefined;
  const quality = `${qualitySign(type.tones)}${seventhSign(type, false)}${suspension(type)}`;
  return `${name}${quality}${triad === '' ? '' : `/${triad}`}`;
}

const dominants: readonly ChordKind[] = ['major', 'dominant', 'suspended-dominant'];

/**
 * Of a chord in a key, its root as it is spelled. A triad over its seventh is the seventh chord: Ab/Gb
 * in Ab is V7/IV. Other chords that lead on keep their degree: #iv°7 rather than vii°7/V.
 */
export function functionIn(
  key: Key,
  root: SpelledPitchClass,
  chord: Pick<Chord, 'type' | 'root' | 'bass'>,
): FunctionName {
  const type = overItsSeventh(chord) ?? chord.type;
  const above = ascent(key.pitchClass, pitchClassOfSpelled(root));
  const role = functionAt(key.mode, above, type);
  const isLeading = role === 'secondary dominant' || role === 'tritone substitute';
  const asDominant =
    isLeading && dominants.includes(kindOf(type))
      ? byGoal(above, type, leading[role], key)
      : undefined;
  const numeral = asDominant ?? byDegree(root, type, key);
  // bIII° leads down by a semitone, as #II° leads up: a passing chord, and nobody's dominant.
  const isPassing = isDiminishedKind(type) && numeral.startsWith('b') && isLeading;
  return { numeral, role: role === 'none' || isPassing ? '' : role };
}

/** Of a chord symbol in a key; empty when the symbol says nothing. */
export function functionName(symbol: string, key: Key | undefined): FunctionName {
  const parsed = key === undefined || symbol === '' ? undefined : parseSymbol(symbol);
  if (key === undefined || parsed?.ok !== true) return noFunction;
  const { chord, root } = spelledChordOf(parsed.value);
  return functionIn(key, root, chord);
}
