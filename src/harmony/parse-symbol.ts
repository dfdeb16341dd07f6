/**
 * Reads chord symbols: a root (a capital letter and at most one accidental), what it is called
 * (symbol-suffix.ts), and behind a slash the bass. 'D|C' is a polychord. Labels with a colon behind
 * the root ('Eb:min7/b3') are read by their own syntax (harte.ts). Never throws.
 */
import { distance } from 'fastest-levenshtein';
import type { ChordSymbol } from './chord-symbol.ts';
import { chordTypes } from './chord-type.ts';
import { typeOfDegrees } from './composed-type.ts';
import { parseHarte } from './harte.ts';
import { parsePitchClass, type SpelledPitchClass } from './pitch-name.ts';
import { parseSuffix } from './symbol-suffix.ts';

export type SymbolResult =
  | { readonly ok: true; readonly value: ChordSymbol }
  | {
      readonly ok: false;
      /** One sentence without its full stop: what, where, and the nearest symbol that parses. */
      readonly problem: string;
      /** Character of the fault, counted from 1. */
      readonly position: number;
      /** '' when nothing is near. */
      readonly nearest: string;
    };

const rootPattern = /^([A-G][#b♯♭]?)/u;
/** The slash of '6/9' is none: a bass begins with a letter. */
const bassPattern = /\s*\/\s*([A-G](?:#{1,2}|b{1,2}|♯{1,2}|♭{1,2}|x)?)\s*$/u;

/** Longer text is no chord symbol; it is cut in messages. */
const longest = 60;

const knownSuffixes = [
  ...new Set([
    ...chordTypes.map((type) => type.symbol),
    ...chordTypes.flatMap((type) => type.aliases),
  ]),
];

/** Whether `long` is `short` with something put in: letters get lost more often than they stray. */
function isWithin(short: string, long: string): boolean {
  let found = 0;
  for (const letter of long) if (letter === short[found]) found += 1;
  return found >= short.length;
}

/** The known suffix with the smallest edit distance (Levenshtein 1966). */
function nearestSuffix(suffix: string): string {
  let nearest = '';
  let smallest = Number.POSITIVE_INFINITY;
  for (const known of knownSuffixes) {
    const steps = distance(suffix, known) - (isWithin(suffix, known) ? 0.5 : 0);
    if (steps < smallest) {
      nearest = known;
      smallest = steps;
    }
  }
  return nearest;
}

function nearestSymbol(text: string): string {
  const capital = `${text.slice(0, 1).toUpperCase()}${text.slice(1)}`;
  const root = rootPattern.exec(capital)?.[1];
  if (root === undefined) return '';
  const bass = bassPattern.exec(capital)?.[0] ?? '';
  const suffix = capital.slice(root.length, capital.length - bass.length);
  const meant = parseSuffix(suffix).ok ? suffix : nearestSuffix(suffix.slice(0, longest));
  return `${root}${meant}${bass.trim()}`;
}

function fail(text: string, at: number, about: string): SymbolResult {
  const shown = text.length > longest ? `${text.slice(0, longest)}…` : text;
  const nearest = nearestSymbol(text);
  const advice = nearest === '' || nearest === text ? '' : `; perhaps ${nearest}`;
  return {
    ok: false,
    problem: `chord symbol "${shown}", character ${at + 1}: ${about}${advice}`,
    position: at + 1,
    nearest,
  };
}

function spelledFrom(name: string | undefined): SpelledPitchClass | undefined {
  return name === undefined ? undefined : parsePitchClass(name);
}

/** A symbol without a lower chord; `offset`: where it begins in the whole text. */
function parseSingle(part: string, whole: string, offset: number): SymbolResult {
  const lead = part.length - part.trimStart().length;
  const text = part.trim();
  const rootName = rootPattern.exec(text)?.[1];
  const root = spelledFrom(rootName);
  if (root === undefined || rootName === undefined) {
    return fail(whole, offset + lead, 'a root is a capital letter A to G, with # or b');
  }
  const slash = bassPattern.exec(text);
  const bass = spelledFrom(slash?.[1]);
  const end = slash === null ? text.length : slash.index;
  const suffix = parseSuffix(text.slice(rootName.length, Math.max(end, rootName.length)));
  if (!suffix.ok) return fail(whole, offset + lead + rootName.length + suffix.at, suffix.about);
  if (suffix.value.length === 0) return fail(whole, offset + lead, 'no tone is left');
  const type = typeOfDegrees(suffix.value);
  return { ok: true, value: bass === undefined ? { root, type } : { root, type, bass } };
}

function parseOver(text: string, bar: number): SymbolResult {
  const upper = parseSingle(text.slice(0, bar), text, 0);
  if (!upper.ok) return upper;
  const lower = parseSingle(text.slice(bar + 1), text, bar + 1);
  return lower.ok ? { ok: true, value: { ...upper.value, lower: lower.value } } : lower;
}

/** 'N.C.': no chord. 'N' is how labels with a colon write it. */
export function saysNoChord(text: string): boolean {
  return /^N(?:\.?C\.?)?$/iu.test(text.trim());
}

export function parseSymbol(text: string): SymbolResult {
  if (text.trim() === '') return fail(text, 0, 'there is nothing to read');
  if (text.length > 4 * longest) return fail(text, 4 * longest, 'no chord symbol is that long');
  const colon = /^\s*[A-G][b#]*:/u.exec(text);
  if (colon !== null) {
    const label = parseHarte(text);
    return label.ok ? label : fail(text, label.at, label.about);
  }
  const bar = text.indexOf('|');
  return bar < 0 ? parseSingle(text, text, 0) : parseOver(text, bar);
}
