/**
 * MusicXML's <harmony> as a chord symbol. The text that is printed is taken where it says the same as
 * kind and degrees, which leave some things open; else kind and degrees are, and the text alone where
 * the kind says nothing.
 *
 * Source: MusicXML 4.0 (W3C Community Group, 2021), harmony, kind-value, degree.
 */

import { typeOfDegrees } from '../../harmony/chord/composed-type.ts';
import { type Degree, isDegree } from '../../harmony/pitch/degree.ts';
import { formatPitchClass, type SpelledPitchClass } from '../../harmony/pitch/pitch-name.ts';
import type { ChordSymbol } from '../../harmony/symbol/chord-symbol.ts';
import {
  type DegreeChange,
  degreeChanges,
  musicXmlKinds,
} from '../../harmony/symbol/musicxml-kinds.ts';
import { parseSymbol } from '../../harmony/symbol/parse-symbol.ts';
import { childOf, numberOf, textOf, type XmlElement } from './xml-tree.ts';

export type ReadHarmony =
  | { readonly kind: 'chord'; readonly symbol: ChordSymbol; readonly isOptional: boolean }
  /** No chord from here on: N.C., or nothing printed. */
  | { readonly kind: 'none'; readonly isPrinted: boolean }
  /** Roman numerals, functions and kinds nobody can voice; as the file has it. */
  | { readonly kind: 'unread'; readonly words: string };

const letters = 'CDEFGAB';

function pitchIn(element: XmlElement | undefined, name: 'root' | 'bass') {
  const own = childOf(element, name);
  const letter = letters.indexOf(textOf(own, `${name}-step`).toUpperCase() || '?');
  if (own === undefined || letter < 0) return undefined;
  const accidental = Math.round(numberOf(own, `${name}-alter`) ?? 0);
  return Math.abs(accidental) > 2 ? undefined : { letter, accidental };
}

/** Repeats of root, kind, bass and degrees in one element: each chord of it by itself. */
function chordsIn(harmony: XmlElement): readonly XmlElement[] {
  const chords: XmlElement[][] = [];
  for (const child of harmony.children) {
    const isHead = child.name === 'root' || child.name === 'numeral' || child.name === 'function';
    if (isHead) chords.push([child]);
    else chords.at(-1)?.push(child);
  }
  return chords.map((children) => ({ ...harmony, children }));
}

function changesIn(chord: XmlElement): readonly DegreeChange[] {
  return chord.children.flatMap((child) => {
    if (child.name !== 'degree') return [];
    const value = numberOf(child, 'degree-value') ?? 0;
    const alter = numberOf(child, 'degree-alter') ?? 0;
    const type = textOf(child, 'degree-type');
    return type === 'add' || type === 'alter' || type === 'subtract'
      ? [{ value, alter, type }]
      : [];
  });
}

const signs: Readonly<Record<number, string>> = { [-2]: 'bb', [-1]: 'b', 0: '', 1: '#' };
/** Numbers that have another name as degrees. */
const named: Readonly<Record<string, Degree>> = {
  ...{ '2': '9', b2: 'b9', '#2': '#9', '#4': '#11', b4: '3', b6: 'b13', '#6': 'b7' },
  ...{ '8': '1', '10': '3', b10: 'b3', b11: '3', '#13': 'b7', '12': '5' },
};

/** `alter`: semitones from the major scale. */
function degreeNamed(value: number, alter: number): Degree | undefined {
  const text = `${signs[alter] ?? '?'}${value}`;
  return named[text] ?? (isDegree(text) ? text : undefined);
}

const numberIn = (degree: Degree): number => Number(degree.replace(/^[b#]+/u, ''));
const sameStep = (one: number, other: number): boolean => (one - other) % 7 === 0;

/** Undefined where a change names no degree. */
function changed(meant: readonly Degree[], changes: readonly DegreeChange[]): Degree[] | undefined {
  let found = [...meant];
  for (const { value, alter, type } of changes) {
    // Added tones count from a minor seventh, and so do alterations of one that is not there.
    const own = found.find((each) => numberIn(each) === value);
    const natural = value === 7 ? -1 : 0;
    if (type === 'subtract') {
      found = found.filter((each) => !sameStep(numberIn(each), value));
      continue;
    }
    const base = type === 'alter' && own !== undefined ? alterationOf(own) : natural;
    const degree = degreeNamed(value, base + alter);
    if (degree === undefined) return undefined;
    if (type === 'alter') found = found.filter((each) => each !== own);
    found.push(degree);
  }
  return found;
}

function alterationOf(degree: Degree): number {
  const accidentals = degree.replace(/\d+/u, '');
  return accidentals.startsWith('b') ? -accidentals.length : accidentals.length;
}

/** A thirteenth chord sounds its eleventh where that is minor; an eleventh takes the place of a third. */
function asPlayed(
  kind: string,
  degrees: readonly Degree[],
  changes: readonly DegreeChange[],
): Degree[] {
  const isSaid = changes.some(({ value }) => value === 11 || value === 4);
  const isUnsaid = kind.endsWith('-13th') && kind !== 'minor-13th' && !isSaid;
  const own = isUnsaid ? degrees.filter((degree) => degree !== '11') : [...degrees];
  const hasThird = own.includes('3') || own.includes('b3');
  return hasThird ? own : own.map((degree) => (degree === '11' ? '4' : degree));
}

function isSame(one: readonly DegreeChange[], other: readonly DegreeChange[]): boolean {
  const text = (changes: readonly DegreeChange[]) =>
    changes
      .map(({ value, alter, type }) => `${value} ${alter} ${type}`)
      .sort()
      .join();
  return text(one) === text(other);
}

/** What is printed, where it reads as a symbol on this root. */
function printed(root: SpelledPitchClass, words: string | undefined) {
  if (words === undefined) return undefined;
  const parsed = parseSymbol(`${formatPitchClass(root)}${words}`);
  const isOwn = parsed.ok && parsed.value.bass === undefined && parsed.value.lower === undefined;
  const { letter, accidental } = parsed.ok ? parsed.value.root : root;
  return isOwn && letter === root.letter && accidental === root.accidental
    ? parsed.value.type
    : undefined;
}

function symbolOf(chord: XmlElement): ChordSymbol | undefined {
  const root = pitchIn(chord, 'root');
  const kindElement = childOf(chord, 'kind');
  if (root === undefined || kindElement === undefined) return undefined;
  const kind = kindElement.text;
  const words = printed(root, kindElement.attributes['text']);
  const meant = musicXmlKinds[kind];
  const changes = changesIn(chord);
  const bass = pitchIn(chord, 'bass');
  const rest = bass === undefined ? {} : { bass };
  if (meant === undefined || kind === 'other') {
    const type = words ?? (changes.length > 0 ? typed(['1'], changes) : undefined);
    return type && { root, type, ...rest };
  }
  const isSaid =
    words !== undefined &&
    words.kind === kind &&
    isSame(degreeChanges(kind, words.degrees), changes);
  const type = isSaid ? words : typed(meant, changes, kind);
  return type && { root, type, ...rest };
}

function typed(meant: readonly Degree[], changes: readonly DegreeChange[], kind = 'other') {
  const degrees = changed(meant, changes);
  if (degrees === undefined || degrees.length === 0) return undefined;
  return typeOfDegrees(asPlayed(kind, degrees, changes));
}

function wordsOf(harmony: XmlElement): string {
  const chord = chordsIn(harmony)[0];
  const numeral = textOf(childOf(chord, 'numeral'), 'numeral-root') || textOf(chord, 'function');
  const root = textOf(childOf(chord, 'root'), 'root-step');
  const kind = childOf(chord, 'kind');
  return `${numeral}${root} ${kind?.attributes['text'] ?? kind?.text ?? ''}`.trim();
}

export function readHarmony(harmony: XmlElement): ReadHarmony {
  const chords = chordsIn(harmony);
  const [first, second] = chords;
  if (childOf(first, 'kind')?.text === 'none') {
    return { kind: 'none', isPrinted: harmony.attributes['print-object'] !== 'no' };
  }
  const symbol = first && symbolOf(first);
  const isOptional = childOf(harmony, 'level')?.attributes['parentheses'] === 'yes';
  if (symbol === undefined) return { kind: 'unread', words: wordsOf(harmony) };
  const lower = second && symbolOf(second);
  const whole = lower === undefined ? symbol : { ...symbol, lower };
  return { kind: 'chord', symbol: whole, isOptional };
}
