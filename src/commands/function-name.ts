/**
 * What a chord is in a key: its numeral ('ii7', 'Imaj7', 'V7sus4', 'viiø7') and its role. Numerals
 * count the degrees of the key's own scale, upper case for a major third, lower case for a minor
 * one; a plain 7 is a minor seventh, a major one says maj7, as charts write them. Common practice,
 * no source.
 */
import type { ChordType } from '../harmony/chord-type.ts';
import { functionAt } from '../harmony/function.ts';
import type { Key } from '../harmony/key.ts';
import { parseSymbol } from '../harmony/parse-symbol.ts';
import { has } from '../harmony/pitch-class-set.ts';
import { pitchClassOfSpelled, type SpelledPitchClass } from '../harmony/pitch-name.ts';

export type FunctionName = { readonly numeral: string; readonly role: string };

const none: FunctionName = { numeral: '', role: '' };
const numerals = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'] as const;
/** Semitones of the scale degrees above the tonic. */
const scales = { major: [0, 2, 4, 5, 7, 9, 11], minor: [0, 2, 3, 5, 7, 8, 10] } as const;

/** 'b', '#', '' for how far the root stands from the scale's own degree; up to two signs. */
function signFor(root: SpelledPitchClass, key: Key, degree: number): string {
  const above = pitchClassOfSpelled(root) - key.pitchClass - (scales[key.mode][degree] ?? 0);
  const off = ((((above + 6) % 12) + 12) % 12) - 6;
  return off < 0 ? 'b'.repeat(-off) : '#'.repeat(off);
}

function qualitySign(tones: number): string {
  const isMinorThird = has(tones, 3) && !has(tones, 4);
  const isDiminished = isMinorThird && has(tones, 6) && !has(tones, 7);
  const isAugmented = has(tones, 4) && has(tones, 8) && !has(tones, 7) && !has(tones, 10);
  if (isDiminished) return has(tones, 10) ? 'ø' : '°';
  return isAugmented ? '+' : '';
}

/** The seventh or sixth. In a diminished chord the sixth is the diminished seventh. */
function seventhSign({ tones, degrees }: ChordType, isMinor: boolean): string {
  if (has(tones, 10)) return '7';
  if (has(tones, 11)) return isMinor ? '(maj7)' : 'maj7';
  if (degrees.includes('bb7')) return '7';
  return has(tones, 9) && degrees.includes('6') ? '6' : '';
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

/** Of a chord symbol in a key; empty when the symbol says nothing. */
export function functionName(symbol: string, key: Key | undefined): FunctionName {
  const parsed = key === undefined || symbol === '' ? undefined : parseSymbol(symbol);
  if (key === undefined || parsed?.ok !== true) return none;
  const { root, type } = parsed.value;
  const degree = (root.letter - key.tonic.letter + 7) % 7;
  const upper = numerals[degree] ?? '';
  const isMinor = has(type.tones, 3) && !has(type.tones, 4);
  const name = isMinor ? upper.toLowerCase() : upper;
  const above = (pitchClassOfSpelled(root) - key.pitchClass + 12) % 12;
  const role = functionAt(key.mode, above, type);
  const sign = isLeadingTone(key, above, type.tones) ? '' : signFor(root, key, degree);
  const quality = `${qualitySign(type.tones)}${seventhSign(type, isMinor)}${suspension(type)}`;
  return {
    numeral: `${sign}${name}${quality}`,
    role: role === 'none' ? '' : role,
  };
}
