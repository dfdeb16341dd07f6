/**
 * A chord symbol half read: what its words have said so far, and what that comes to as degrees.
 * The policies it follows stand in symbol-suffix.ts.
 */
import { type Degree, inOrder } from '../pitch/degree.ts';
import type { Word } from './symbol-token.ts';

/** What has been read so far. */
export type Draft = {
  third: 'major' | 'minor' | 'none';
  fifth: '5' | 'b5' | '#5';
  isDiminished: boolean;
  isHalfDiminished: boolean;
  /** A word for major waits for its number. */
  isMajorPending: boolean;
  isMajorSeventh: boolean;
  /** A 7 was written with no word for major before it. */
  hasPlainSeventh: boolean;
  isTriangle: boolean;
  isAltered: boolean;
  isLydian: boolean;
  isPower: boolean;
  hasSixth: boolean;
  suspensions: Set<Degree>;
  /** 7, 9, 11 or 13; 0 for none. */
  extension: number;
  alterations: Set<Degree>;
  additions: Set<Degree>;
  omissions: Set<number>;
  /** What the next number is for. */
  mode: 'chord' | 'add' | 'omit' | 'suspend';
  depth: number;
  /** Words that make no sense twice. */
  said: Set<Word>;
};

export function emptyDraft(): Draft {
  return {
    third: 'major',
    fifth: '5',
    isDiminished: false,
    isHalfDiminished: false,
    isMajorPending: false,
    isMajorSeventh: false,
    hasPlainSeventh: false,
    isTriangle: false,
    isAltered: false,
    isLydian: false,
    isPower: false,
    hasSixth: false,
    suspensions: new Set(),
    extension: 0,
    alterations: new Set(),
    additions: new Set(),
    omissions: new Set(),
    mode: 'chord',
    depth: 0,
    said: new Set(),
  };
}

/** Degrees that an omission of this number takes away. */
export const omittedDegrees: Readonly<Record<number, readonly Degree[]>> = {
  1: ['1'],
  3: ['3', 'b3'],
  5: ['5', 'b5', '#5'],
  7: ['7', 'b7', 'bb7'],
  9: ['9', 'b9', '#9'],
  11: ['11', '#11', '4'],
  13: ['13', 'b13', '6'],
};

/** The seventh of a symbol without a number: only a few words imply one. */
function bareSeventh(draft: Draft, isMinorOnly: boolean): Degree | undefined {
  if (draft.hasSixth) return undefined;
  if (draft.isHalfDiminished) return 'b7';
  const isMajor = draft.isTriangle || draft.isLydian || (draft.isMajorPending && isMinorOnly);
  return isMajor ? '7' : undefined;
}

function seventhOf(draft: Draft): Degree | undefined {
  const isMinorOnly = draft.third === 'minor' && !draft.isDiminished;
  if (draft.extension === 0) return bareSeventh(draft, isMinorOnly);
  if (draft.isDiminished && draft.hasPlainSeventh) return 'bb7';
  // A word for major at the very end still speaks of the seventh: '9maj'.
  if (draft.isMajorSeventh || draft.isTriangle || draft.isMajorPending) return '7';
  // 'add maj7' beside a 9 that only implies its seventh names that seventh.
  if (draft.additions.has('7') && !draft.hasPlainSeventh && draft.extension > 7) return '7';
  return draft.isDiminished ? 'bb7' : 'b7';
}

const fifths: readonly Degree[] = ['b5', '#5'];
const ninths: readonly Degree[] = ['b9', '#9'];

function hasAny(members: ReadonlySet<Degree>, wanted: readonly Degree[]): boolean {
  return wanted.some((degree) => members.has(degree));
}

/** The tones an extension stacks below itself, less those that an alteration replaces. */
function stackOf(draft: Draft): Degree[] {
  const { extension, alterations } = draft;
  const stack: Degree[] = [];
  if (extension >= 9 && !hasAny(alterations, ninths)) stack.push('9');
  const isSuspended = draft.suspensions.has('4');
  const keepsEleventh = draft.third === 'minor' ? extension >= 11 : extension === 11;
  if (keepsEleventh && !isSuspended && !alterations.has('#11')) {
    stack.push(draft.third === 'minor' ? '11' : '4');
  }
  if (extension >= 13 && !alterations.has('b13')) stack.push('13');
  return stack;
}

function thirdOf(draft: Draft, stack: readonly Degree[]): Degree | undefined {
  const isReplaced =
    draft.isPower || draft.suspensions.size > 0 || stack.includes('4') || draft.third === 'none';
  if (isReplaced) return undefined;
  return draft.third === 'minor' ? 'b3' : '3';
}

function fifthsOf(draft: Draft, seventh: Degree | undefined): readonly Degree[] {
  const altered = fifths.filter((degree) => draft.alterations.has(degree));
  if (draft.fifth !== '5' && !altered.includes(draft.fifth)) altered.push(draft.fifth);
  if (altered.length > 0) return altered;
  const isDominant = draft.third === 'major' && seventh === 'b7';
  if (isDominant && draft.alterations.has('b13')) return [];
  return ['5'];
}

const alteredScale: readonly Degree[] = ['1', 'b9', '#9', '3', '#11', 'b13', 'b7'];

function stackedTones(draft: Draft): Degree[] {
  const seventh = seventhOf(draft);
  const stack = stackOf(draft);
  const third = thirdOf(draft, stack);
  const tones: Degree[] = ['1', ...fifthsOf(draft, seventh), ...draft.suspensions, ...stack];
  if (third !== undefined) tones.push(third);
  if (seventh !== undefined) tones.push(seventh);
  // 'dim7(maj7)' has both.
  if (seventh === 'bb7' && draft.isMajorSeventh) tones.push('7');
  if (draft.hasSixth) tones.push(seventh === undefined || seventh === '7' ? '6' : '13');
  return tones;
}

/** What the words come to. */
export function degreesOf(draft: Draft): readonly Degree[] {
  const tones = draft.isAltered ? alteredScale : stackedTones(draft);
  const found = new Set<Degree>([...tones, ...draft.alterations, ...draft.additions]);
  for (const number of draft.omissions) {
    for (const degree of omittedDegrees[number] ?? []) found.delete(degree);
  }
  // One tone, one name: a sixth beside the 13th says the same twice, as 11 beside 4.
  if (found.has('13')) found.delete('6');
  if (found.has('4')) found.delete('11');
  return inOrder(found);
}
