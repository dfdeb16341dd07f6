/**
 * The words a chord symbol is written in, behind its root: 'maj7(#11)' as tokens. What a word means
 * beside the others is decided in symbol-suffix.ts; here stands only how it is spelled.
 * Spellings: the alias table of common practice (no source); the ASCII triangle '^' as in lead-sheet
 * fonts; words of the MusicXML 4.0 kinds.
 */
export type Word =
  | 'major'
  | 'triangle'
  | 'minor'
  | 'diminished'
  | 'half-diminished'
  | 'augmented'
  | 'suspended'
  | 'altered'
  | 'dominant'
  | 'lydian'
  | 'phrygian'
  | 'add'
  | 'omit'
  | 'and'
  | 'open'
  | 'close';

export type Token =
  | { readonly kind: 'word'; readonly word: Word; readonly at: number; readonly text: string }
  | { readonly kind: 'number'; readonly number: number; readonly at: number; readonly text: string }
  /** 'b9', '+5': semitones of alteration and the number altered. */
  | {
      readonly kind: 'altered';
      readonly alteration: number;
      readonly number: number;
      readonly at: number;
      readonly text: string;
    };

export type Tokens =
  | { readonly ok: true; readonly value: readonly Token[] }
  /** `at`: characters into the suffix, from 0. */
  | { readonly ok: false; readonly at: number };

/** First match wins: longer spellings stand before the shorter ones they begin with. */
const words: readonly (readonly [Word, RegExp])[] = [
  ['major', /(?:[Mm]ajor|MAJOR|[Mm]aj|MAJ|[Mm]a(?!dd|lt)|MA(?!DD|LT)|M(?![iI]))/y],
  ['triangle', /[Δ△∆^]/uy],
  ['minor', /(?:[Mm]inor|MINOR|[Mm]in|MIN|[Mm]i|MI|m)/y],
  ['half-diminished', /(?:[øØ]|[Hh]alf[- ]?dim(?:inished)?|hdim)/uy],
  ['diminished', /(?:[Dd]iminished|[Dd]im\.?|DIM|[°º˚0]|o(?!mit|ver))/uy],
  ['dominant', /(?:[Dd]ominant|[Dd]om)/y],
  ['augmented', /(?:[Aa]ugmented|[Aa]ug|AUG)/y],
  ['suspended', /(?:[Ss]uspended|[Ss]us|SUS)/y],
  ['altered', /(?:[Aa]ltered|[Aa]lt|ALT)/y],
  ['lydian', /(?:[Ll]ydian|[Ll]yd)/y],
  ['phrygian', /(?:[Pp]hrygian|[Pp]hryg)/y],
  ['add', /(?:[Aa]dd|ADD)/y],
  ['omit', /(?:[Oo]mit|OMIT|[Nn]o|NO)/y],
  ['open', /[([]/y],
  ['close', /[)\]]/y],
  ['and', /[,/]/y],
];

const space = /\s+/y;
/** Behind an abbreviation: 'min. 7'. */
const fullStop = /\./y;
const ordinal = /(?:rd|th|nd)/y;
const flatOrSharp = /(?:[b♭]{1,2}|[#♯]{1,2})\s*(13|11|10|[2-9])/uy;
const minusOrPlus = /[-−–+](13|11|9|5)/uy;
const numeral = /(?:13|11|[1-9])/y;
const dash = /[-−–]/uy;
const plus = /\+/y;
/** 'j7' stands for a major seventh behind the root only: elsewhere it is a slip. */
const headMajor = /j(?=7|9|1)/y;

function matchAt(pattern: RegExp, text: string, at: number): RegExpExecArray | null {
  pattern.lastIndex = at;
  return pattern.exec(text);
}

function semitonesOfSigns(signs: string): number {
  const count = [...signs].filter((sign) => '#♯b♭'.includes(sign)).length;
  return /[#♯]/u.test(signs) ? count : -count;
}

/**
 * Minus and plus mean flat and sharp inside a symbol, minor and augmented at its head: 'C-9' is a
 * minor ninth and 'C7-9' has a flattened ninth.
 */
function signed(text: string, at: number, isHead: boolean): Token | undefined {
  const match = matchAt(minusOrPlus, text, at);
  if (match === null) return undefined;
  const [whole, digits] = match;
  // No chord is called a minor or an augmented fifth: there the sign alters it even at the head.
  if (isHead && digits !== '5') return undefined;
  const alteration = whole.startsWith('+') ? 1 : -1;
  return { kind: 'altered', alteration, number: Number(digits), at, text: whole };
}

function readWord(text: string, at: number): Token | undefined {
  for (const [word, pattern] of words) {
    const match = matchAt(pattern, text, at);
    if (match !== null) return { kind: 'word', word, at, text: match[0] };
  }
  return undefined;
}

function readToken(text: string, at: number, isHead: boolean): Token | undefined {
  const altered = matchAt(flatOrSharp, text, at);
  if (altered !== null) {
    const alteration = semitonesOfSigns(altered[0].replace(/\d+/, ''));
    return { kind: 'altered', alteration, number: Number(altered[1]), at, text: altered[0] };
  }
  const sign = signed(text, at, isHead);
  if (sign !== undefined) return sign;
  const number = matchAt(numeral, text, at);
  if (number !== null) return { kind: 'number', number: Number(number[0]), at, text: number[0] };
  if (isHead && matchAt(headMajor, text, at) !== null) {
    return { kind: 'word', word: 'major', at, text: 'j' };
  }
  const word = readWord(text, at);
  if (word !== undefined) return word;
  if (matchAt(dash, text, at) !== null) {
    return { kind: 'word', word: 'minor', at, text: '-' };
  }
  if (matchAt(plus, text, at) !== null) return { kind: 'word', word: 'augmented', at, text: '+' };
  return undefined;
}

export function tokensOf(suffix: string): Tokens {
  const tokens: Token[] = [];
  let at = 0;
  while (at < suffix.length) {
    const isAbbreviated = tokens.at(-1)?.kind === 'word' && /\p{L}/u.test(suffix.charAt(at - 1));
    const gap =
      matchAt(space, suffix, at) ??
      matchAt(ordinal, suffix, at) ??
      (isAbbreviated ? matchAt(fullStop, suffix, at) : null);
    if (gap !== null) {
      at += gap[0].length;
      continue;
    }
    const token = readToken(suffix, at, tokens.length === 0);
    if (token === undefined) return { ok: false, at };
    tokens.push(token);
    at += token.text.length;
  }
  return { ok: true, value: tokens };
}
