/**
 * What a chord symbol means: the words behind its root, in any order, as degrees.
 *
 * Policies where authorities differ (each is a test):
 * - 9, 11 and 13 imply the 7th; 13 implies the 9th, and the 11th on minor chords only;
 * - 11 on a chord with a major third drops that third (a dominant 11 is a suspended ninth);
 * - b13 takes the place of the 5th of a dominant, suspended or not, but not of a minor chord;
 * - dim7, dim9 and dim11 have the diminished 7th; 'dim' and '°' alone are triads;
 * - a bare triangle is a major seventh, a bare 'maj' a triad; 2 keeps the 3rd, 4 does not;
 * - 9 and 11 named beside a 6 or a power chord are added, and bring no 7th along.
 */
import type { Degree } from '../pitch/degree.ts';
import { type Draft, degreesOf, emptyDraft, omittedDegrees } from './symbol-draft.ts';
import { faultBetween, sentences } from './symbol-faults.ts';
import { type Token, tokensOf, type Word } from './symbol-token.ts';

export type Suffix =
  | { readonly ok: true; readonly value: readonly Degree[] }
  /** `at`: characters into the suffix, from 0. `about`: what is wrong there, without a full stop. */
  | { readonly ok: false; readonly at: number; readonly about: string };

const alteredDegrees: Readonly<Record<string, Degree>> = {
  '-1 2': 'b9',
  '1 2': '#9',
  '-1 3': 'b3',
  '1 4': '#11',
  '-1 5': 'b5',
  '1 5': '#5',
  '-1 6': 'b13',
  '-1 7': 'b7',
  '-2 7': 'bb7',
  '1 7': '7',
  '-1 9': 'b9',
  '1 9': '#9',
  '-1 10': '#9',
  '1 11': '#11',
  '-1 13': 'b13',
};

const addedDegrees: Readonly<Record<number, Degree>> = {
  2: '9',
  3: '3',
  4: '11',
  5: '5',
  6: '6',
  7: 'b7',
  9: '9',
  11: '11',
  13: '13',
};

const wordMeanings: Readonly<Record<Word, (draft: Draft) => void>> = {
  major(draft) {
    // '7M(11)' is 'maj7(11)': the word speaks of the 7 before it. 'dim7(maj7)' has both.
    const isOfSeventh =
      draft.hasPlainSeventh && draft.extension === 7 && draft.depth === 0 && !draft.isDiminished;
    if (isOfSeventh && draft.mode === 'chord') {
      draft.isMajorSeventh = true;
      draft.hasPlainSeventh = false;
    } else {
      draft.isMajorPending = true;
    }
  },
  triangle(draft) {
    draft.isMajorPending = true;
    draft.isTriangle = draft.mode !== 'add';
  },
  minor(draft) {
    draft.third = 'minor';
  },
  diminished(draft) {
    draft.third = 'minor';
    draft.fifth = 'b5';
    draft.isDiminished = true;
  },
  'half-diminished'(draft) {
    draft.third = 'minor';
    draft.fifth = 'b5';
    draft.isHalfDiminished = true;
  },
  augmented(draft) {
    draft.fifth = '#5';
  },
  suspended(draft) {
    draft.mode = 'suspend';
  },
  altered(draft) {
    draft.isAltered = true;
    draft.extension = Math.max(draft.extension, 7);
  },
  dominant(draft) {
    draft.third = 'major';
  },
  lydian(draft) {
    draft.alterations.add('#11');
    draft.isLydian = true;
  },
  phrygian(draft) {
    draft.suspensions.add('4');
    draft.alterations.add('b9');
    draft.extension = Math.max(draft.extension, 7);
  },
  add(draft) {
    draft.mode = 'add';
  },
  omit(draft) {
    draft.mode = 'omit';
  },
  and() {
    // A list goes on: see leaveMode.
  },
  open(draft) {
    draft.depth += 1;
  },
  close(draft) {
    draft.depth -= 1;
    draft.mode = 'chord';
  },
};

/** 'sus' with no number behind it is a suspended fourth. */
function settleSuspension(draft: Draft, next: Token | undefined): void {
  if (draft.mode !== 'suspend') return;
  const isNumbered = next?.kind === 'number' && [2, 4, 9].includes(next.number);
  const isAltered = next?.kind === 'altered' && [2, 4].includes(next.number);
  if (isNumbered || isAltered) return;
  draft.suspensions.add('4');
  draft.mode = 'chord';
  // 'susb9' is the dominant's: nobody writes it for a triad.
  if (next?.kind === 'altered' && next.number === 9) {
    draft.extension = Math.max(draft.extension, 7);
  }
}

function takeSixth(draft: Draft): void {
  draft.hasSixth = true;
  // '9/6' is '6/9'.
  if (draft.extension === 9 && !draft.isMajorSeventh) {
    draft.extension = 0;
    draft.additions.add('9');
  }
  draft.isMajorPending = false;
}

function takeChordNumber(draft: Draft, number: number): void {
  const isPlain = !draft.isMajorPending;
  draft.isMajorPending = false;
  if (!isPlain) draft.isMajorSeventh = true;
  // A seventh chord that names an 11th adds it alone; chords without a seventh get none by it.
  const hasNoSeventh = draft.extension === 0 && (draft.hasSixth || draft.isPower);
  if (isPlain && number === 11 && draft.extension > 0) draft.additions.add('11');
  else if (isPlain && hasNoSeventh && (number === 9 || number === 11))
    draft.additions.add(number === 9 ? '9' : '11');
  else draft.extension = Math.max(draft.extension, number);
  if (isPlain && number === 7) draft.hasPlainSeventh = true;
}

function addDegree(draft: Draft, number: number): boolean {
  const degree = addedDegrees[number];
  if (degree === undefined) return false;
  if (draft.isMajorPending && number === 7) {
    draft.isMajorPending = false;
    draft.additions.add('7');
  } else {
    draft.additions.add(degree);
  }
  return true;
}

function takeInChord(draft: Draft, number: number): boolean {
  switch (number) {
    case 2:
      draft.additions.add('9');
      return true;
    case 4:
      draft.suspensions.add('4');
      return true;
    case 5:
      draft.isPower = true;
      return true;
    case 6:
      takeSixth(draft);
      return true;
    case 7:
    case 9:
    case 11:
    case 13:
      takeChordNumber(draft, number);
      return true;
    default:
      return false;
  }
}

/** True when the number means something there. */
function takeNumber(draft: Draft, number: number): boolean {
  switch (draft.mode) {
    case 'omit':
      draft.omissions.add(number);
      return omittedDegrees[number] !== undefined;
    case 'suspend':
      draft.suspensions.add(number === 4 ? '4' : '9');
      draft.mode = 'chord';
      return true;
    case 'add':
      return addDegree(draft, number);
    case 'chord':
      return takeInChord(draft, number);
  }
}

/** True when the altered number names a degree. */
function takeAltered(draft: Draft, alteration: number, number: number): boolean {
  const degree = alteredDegrees[`${alteration} ${number}`];
  if (degree === undefined) return false;
  if (draft.mode === 'suspend' && number < 5) {
    // 'sus#4' and 'susb2' have that tone for their third.
    draft.suspensions.add(degree);
    draft.mode = 'chord';
    return true;
  }
  if (degree === 'b3' && draft.mode !== 'add') draft.third = 'minor';
  else if (number === 7 || number === 3) draft.additions.add(degree);
  // 'addb9' alters too: with a flattened ninth added nobody means the natural one.
  else draft.alterations.add(degree);
  return true;
}

/** Adding and leaving out go on over a comma, not without one: 'add9,11' but 'addb9 7'. */
function leaveMode(draft: Draft, next: Token | undefined): void {
  const isList = next?.kind === 'word' && next.word === 'and';
  if (!isList && (draft.mode === 'add' || draft.mode === 'omit')) draft.mode = 'chord';
}

const onceOnly: readonly Word[] = ['minor', 'diminished', 'half-diminished', 'augmented'];

function takeWord(draft: Draft, word: Word, text: string, next: Token | undefined) {
  if (draft.said.has(word)) return sentences.twice(text);
  if (onceOnly.includes(word)) draft.said.add(word);
  // A new word ends a list of additions, unless it tells what is added: 'add ma7'.
  const tells = ['major', 'triangle', 'and', 'open'].includes(word);
  if (!tells && draft.mode !== 'chord') draft.mode = 'chord';
  wordMeanings[word](draft);
  settleSuspension(draft, next);
  return draft.depth < 0 ? sentences.closing : undefined;
}

/** What is wrong with the token, or undefined. */
function takeToken(draft: Draft, token: Token, next: Token | undefined): string | undefined {
  if (token.kind === 'word') return takeWord(draft, token.word, token.text, next);
  const isMeant =
    token.kind === 'number'
      ? takeNumber(draft, token.number)
      : takeAltered(draft, token.alteration, token.number);
  leaveMode(draft, next);
  return isMeant ? undefined : sentences.number(token.text);
}

/** The innermost parenthesis that nothing closes. */
function unclosedIn(tokens: readonly Token[]): Token | undefined {
  const open: Token[] = [];
  for (const token of tokens) {
    if (token.kind !== 'word') continue;
    if (token.word === 'open') open.push(token);
    else if (token.word === 'close') open.pop();
  }
  return open.at(-1);
}

/** The degrees of what stands behind a root: '' is a major triad. Never throws. */
export function parseSuffix(suffix: string): Suffix {
  const tokens = tokensOf(suffix);
  if (!tokens.ok) {
    const rest = suffix.slice(tokens.at);
    return {
      ok: false,
      at: tokens.at,
      about: sentences.unknown(/^[^\s()]+/u.exec(rest)?.[0] ?? rest),
    };
  }
  const draft = emptyDraft();
  for (const [index, token] of tokens.value.entries()) {
    const about =
      faultBetween(tokens.value, index) ?? takeToken(draft, token, tokens.value[index + 1]);
    if (about !== undefined) return { ok: false, at: token.at, about };
  }
  const last = tokens.value.at(-1);
  const open = draft.depth > 0 ? unclosedIn(tokens.value) : undefined;
  if (open !== undefined) {
    return { ok: false, at: open.at, about: sentences.parenthesis(open.text) };
  }
  if (last?.kind === 'word' && ['add', 'omit', 'and'].includes(last.word)) {
    return { ok: false, at: last.at, about: sentences.unfinished(last.text) };
  }
  return { ok: true, value: degreesOf(draft) };
}
