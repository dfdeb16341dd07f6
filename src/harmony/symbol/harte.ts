/**
 * Chord labels in the syntax of C. Harte, M. Sandler, S. Abdallah and E. Gómez, 'Symbolic
 * Representation of Musical Chords: A Proposed Syntax for Text Annotations', ISMIR 2005:
 * root ':' shorthand '(' degrees ')' '/' bass degree. The shorthands of its table from memory, with
 * the suspended second, the 11ths and the 13ths that labels of annotators have beside them.
 */

import { typeOfDegrees } from '../chord/composed-type.ts';
import { type Degree, degrees as everyDegree } from '../pitch/degree.ts';
import {
  parsePitchClass,
  pitchClassOfSpelled,
  type SpelledPitchClass,
  spellNear,
} from '../pitch/pitch-name.ts';
import type { ChordSymbol } from './chord-symbol.ts';

type Parsed =
  | { readonly ok: true; readonly value: ChordSymbol }
  | { readonly ok: false; readonly at: number; readonly about: string };

const shorthands: Readonly<Record<string, string>> = {
  '': '',
  maj: '3 5',
  min: 'b3 5',
  dim: 'b3 b5',
  aug: '3 #5',
  maj7: '3 5 7',
  min7: 'b3 5 b7',
  '7': '3 5 b7',
  dim7: 'b3 b5 bb7',
  hdim7: 'b3 b5 b7',
  minmaj7: 'b3 5 7',
  maj6: '3 5 6',
  min6: 'b3 5 6',
  '9': '3 5 b7 9',
  maj9: '3 5 7 9',
  min9: 'b3 5 b7 9',
  sus4: '4 5',
  sus2: '9 5',
  '11': '3 5 b7 9 11',
  maj11: '3 5 7 9 11',
  min11: 'b3 5 b7 9 11',
  '13': '3 5 b7 9 11 13',
  maj13: '3 5 7 9 11 13',
  min13: 'b3 5 b7 9 11 13',
  '5': '5',
  '1': '',
};

/** Numbers in this syntax and the degrees we call them: 2 is a 9, an altered 6 a 13. */
const ours: Readonly<Record<string, Degree>> = {
  '2': '9',
  b2: 'b9',
  '#2': '#9',
  b6: 'b13',
  '#4': '#11',
  b10: 'b3',
  '10': '3',
};

const majorScale = [0, 2, 4, 5, 7, 9, 11] as const;
const label = /^\s*([A-G][b#]*):([a-z]*\d*)?(?:\(([^()]*)\))?(?:\/([b#]*\d+))?\s*$/u;
const degreePattern = /^([b#]*)(\d+)$/u;

function degreeNamed(text: string): Degree | undefined {
  const named = ours[text] ?? text;
  return everyDegree.find((degree) => degree === named);
}

/** Any degree above a root, with whatever accidentals: 'bb13' over C is Abb. */
function spelledAbove(root: SpelledPitchClass, text: string): SpelledPitchClass | undefined {
  const match = degreePattern.exec(text);
  const number = Number(match?.[2] ?? 0);
  if (match === null || number === 0) return undefined;
  const signs = match[1] ?? '';
  const alteration = signs.startsWith('b') ? -signs.length : signs.length;
  const step = (number - 1) % 7;
  const letter = (root.letter + step) % 7;
  const wanted = pitchClassOfSpelled(root) + (majorScale[step] ?? 0) + alteration;
  const natural = majorScale[letter] ?? 0;
  return { letter, accidental: ((wanted - natural + 42) % 12) - 6 };
}

/** The shorthand's degrees with those in parentheses added or, starred, taken away. */
function collect(base: string, list: readonly string[]): Set<Degree> | string {
  const found = new Set<Degree>(['1']);
  for (const name of base.split(' ')) {
    const degree = degreeNamed(name);
    if (degree !== undefined) found.add(degree);
  }
  for (const item of list) {
    const degree = degreeNamed(item.replace('*', ''));
    if (degree === undefined) return item;
    if (item.startsWith('*')) found.delete(degree);
    else found.add(degree);
  }
  return found;
}

/**
 * Labels may stand on roots with several accidentals, chord symbols on one at most: the same pitch
 * by its plainest name.
 */
function printable(root: SpelledPitchClass | undefined): SpelledPitchClass | undefined {
  if (root === undefined || Math.abs(root.accidental) <= 1) return root;
  return spellNear(pitchClassOfSpelled(root), 0);
}

export function parseHarte(text: string): Parsed {
  const colon = text.indexOf(':');
  const match = label.exec(text);
  if (match === null) {
    return { ok: false, at: colon + 1, about: 'a label is root:shorthand(degrees)/bass' };
  }
  const [, rootName = '', shorthand = '', list = '', bassDegree] = match;
  if (shorthand === '' && match[3] === undefined) {
    return { ok: false, at: colon, about: 'nothing stands behind the colon' };
  }
  const root = printable(parsePitchClass(rootName));
  const base = shorthands[shorthand];
  if (root === undefined) return { ok: false, at: 0, about: `'${rootName}' is no root` };
  if (base === undefined) {
    return { ok: false, at: colon + 1, about: `'${shorthand}' is no shorthand of a chord label` };
  }
  const items = list.split(',').map((item) => item.trim());
  const found = collect(base, list.trim() === '' ? [] : items);
  if (typeof found === 'string') {
    return { ok: false, at: text.indexOf('(') + 1, about: `'${found}' is no degree` };
  }
  const type = typeOfDegrees(found);
  const bass = bassDegree === undefined ? undefined : spelledAbove(root, bassDegree);
  return { ok: true, value: bass === undefined ? { root, type } : { root, type, bass } };
}
