/**
 * Reads chord symbols: a root (a letter and at most two accidentals), what it is called
 * (symbol-suffix.ts), and behind a slash the bass. 'D\C' is a polychord, D above C; 'D|C' is read
 * as one too. Labels with a colon behind the root ('Eb:min7/b3') are read by their own syntax
 * (harte.ts). Never throws.
 *
 * The accidentals of the root are as many as can be: 'Cb5' is no C with a flattened fifth. With two
 * of them nobody can tell: 'Ebb9' is refused. A small letter is a root where what follows says
 * whether it is major or minor ('dm7', 'ebmaj7'): on its own some write it for a minor chord.
 */

import { distance } from 'fastest-levenshtein';
import { capitalised } from '../../common/words.ts';
import { chordTypes } from '../chord/chord-type.ts';
import { typeOfDegrees } from '../chord/composed-type.ts';
import { parsePitchClass, type SpelledPitchClass } from '../pitch/pitch-name.ts';
import type { ChordSymbol } from './chord-symbol.ts';
import { parseHarte } from './harte.ts';
import { sentences } from './symbol-faults.ts';
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

const rootPattern = /^([A-G](?:##|bb|♯♯|♭♭|[#b♯♭x𝄪𝄫])?)/u;
/** Double accidentals before a number that the second of them could alter. */
const doubtful = /^([A-G](?:##|bb|♯♯|♭♭))(?:5|6|9|11|13|[#b♯♭])/u;
const smallRoot = /^([a-g])((?:[#b♯♭])?(?:m|M|-|−|–|Δ|△|∆|\^))/u;
/** The slash of '6/9' is none: a bass begins with a letter. */
const bassPattern = /\s*\/\s*([A-G](?:#{1,2}|b{1,2}|♯{1,2}|♭{1,2}|[x𝄪𝄫])?)\s*$/u;

/** A word behind the last slash where a bass stands; '6/9' has a number there. */
const wordBehindSlash = /\/\s*(\p{L}[^\s()]*)\s*$/u;

/** Longer text is no chord symbol; it is cut in messages. */
const longest = 60;

/** Words that are no alias of a type, and that people misspell. */
const words = ['major', 'minor', 'diminished', 'augmented', 'suspended', 'altered'] as const;

const knownSuffixes = [
  ...new Set<string>([
    ...chordTypes.map((type) => type.symbol),
    ...chordTypes.flatMap((type) => type.aliases),
    ...words,
  ]),
];

/** Whether `long` is `short` with something put in: letters get lost more often than they stray. */
function isWithin(short: string, long: string): boolean {
  let found = 0;
  for (const letter of long) if (letter === short[found]) found += 1;
  return found >= short.length;
}

/** The longest beginning of a suffix that means something, where no letters stand behind it. */
function plainBeginning(suffix: string): string | undefined {
  for (let end = suffix.length - 1; end >= 0; end -= 1) {
    if (/\p{L}/u.test(suffix.charAt(end))) return undefined;
    const beginning = suffix.slice(0, end);
    if (parseSuffix(beginning).ok) return beginning.trim();
  }
  return undefined;
}

/**
 * The known suffix with the smallest edit distance (Levenshtein 1966), or what is left without the
 * figures and signs at the end; undefined where half of the letters would have to be others.
 */
function nearestSuffix(suffix: string): string | undefined {
  let nearest = '';
  let smallest = Number.POSITIVE_INFINITY;
  for (const known of knownSuffixes) {
    const steps = distance(suffix, known) - (isWithin(suffix, known) ? 0.5 : 0);
    if (steps < smallest) {
      nearest = known;
      smallest = steps;
    }
  }
  if (smallest <= 1) return nearest;
  const beginning = plainBeginning(suffix);
  if (beginning !== undefined) return beginning;
  return smallest <= suffix.length / 2 ? nearest : undefined;
}

/** Without signs that hold nothing or stand where nothing follows, and with parentheses closed. */
function tidied(suffix: string): string {
  const tidy = suffix
    .replace(/[\s,.]+(?=[)\]]|$)|(?<=[([])[\s,.]+/gu, '')
    .replace(/\(\)|\[\]/gu, '')
    .trim();
  const count = (sign: string) => tidy.split(sign).length - 1;
  return `${tidy}${')'.repeat(Math.max(0, count('(') - count(')')))}`;
}

/** The same with the bass as a capital, and the H of some languages as the B it is. */
function withPlainBass(text: string): string {
  return text.replace(wordBehindSlash, (_, word: string) => {
    const name = capitalised(word);
    return `/${name === 'H' ? 'B' : name}`;
  });
}

function nearestSymbol(text: string): string {
  const capital = withPlainBass(capitalised(text));
  const [, doubled] = doubtful.exec(capital) ?? [];
  const root = doubled?.slice(0, -1) ?? rootPattern.exec(capital)?.[1];
  if (root === undefined) return '';
  const bass = bassPattern.exec(capital)?.[0] ?? '';
  const suffix = capital.slice(root.length, capital.length - bass.length);
  // What the second of two accidentals alters stands in parentheses: Eb(b9).
  const tidy = tidied(doubled === undefined ? suffix : suffix.replace(/^.\d+/u, '($&)'));
  const meant = parseSuffix(tidy).ok ? tidy : nearestSuffix(suffix.slice(0, longest));
  if (meant === undefined) return '';
  const nearest = `${root}${meant}${bass.trim()}`;
  const read = parseSuffix(meant);
  return read.ok && read.value.length > 0 && !doubtful.test(nearest) ? nearest : '';
}

function fail(text: string, at: number, about: string): SymbolResult {
  const shown = text.length > longest ? `${text.slice(0, longest)}…` : text;
  // Nothing is near to a text without end, and the search would take its square.
  const nearest = text.length > 4 * longest ? '' : nearestSymbol(text);
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
  const text = part
    .trim()
    .replace(smallRoot, (_, letter: string, rest: string) => `${letter.toUpperCase()}${rest}`);
  const rootName = rootPattern.exec(text)?.[1];
  if (doubtful.test(text)) {
    const about = 'the second accidental could belong to the root or to the number';
    return fail(whole, offset + lead + 2, about);
  }
  const root = spelledFrom(rootName);
  if (root === undefined || rootName === undefined) {
    return fail(whole, offset + lead, 'a root is a capital letter A to G, with # or b');
  }
  const slash = bassPattern.exec(text);
  const bass = spelledFrom(slash?.[1]);
  const end = slash === null ? text.length : slash.index;
  const suffix = parseSuffix(text.slice(rootName.length, Math.max(end, rootName.length)));
  if (!suffix.ok) {
    const at = rootName.length + suffix.at;
    const word = wordBehindSlash.exec(text);
    const isBass = word !== null && at > word.index;
    if (!isBass) return fail(whole, offset + lead + at, suffix.about);
    const [behind, name = ''] = word;
    const begins = word.index + behind.indexOf(name);
    return fail(whole, offset + lead + begins, sentences.bass(name));
  }
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
  const bar = text.search(/[|\\]/u);
  return bar < 0 ? parseSingle(text, text, 0) : parseOver(text, bar);
}
