/**
 * A line of a chart cut into its signs, each with the column where it begins (from 1). What the
 * signs mean beside each other is decided in lay-out.ts; here stands only how they are spelled.
 */
export type JumpTarget = 'start' | 'segno';
export type JumpEnd = 'fine' | 'coda' | undefined;

type Kinds =
  | { readonly kind: 'bar'; readonly style: 'single' | 'double' | 'final' }
  | { readonly kind: 'repeat-start' }
  /** How often its bars are played; undefined where it does not say so. */
  | { readonly kind: 'repeat-end'; readonly times: number | undefined }
  /** The end of one repeat and the beginning of the next. */
  | { readonly kind: 'repeat-both' }
  | { readonly kind: 'ending'; readonly numbers: readonly number[] }
  | { readonly kind: 'section'; readonly name: string }
  | { readonly kind: 'segno' | 'coda' | 'to-coda' | 'fine' }
  | { readonly kind: 'jump'; readonly to: JumpTarget; readonly until: JumpEnd }
  | { readonly kind: 'cue' | 'comment'; readonly words: string }
  /** Chosen for the chord behind it: 'bass=third'. */
  | { readonly kind: 'choice' }
  | { readonly kind: 'unclosed-cue' | 'group-start' | 'group-end' }
  | { readonly kind: 'beat' | 'again' | 'again-two' | 'rest' | 'chord' };

export type Token = Kinds & { readonly text: string; readonly column: number };

type Row = readonly [pattern: RegExp, read: (match: RegExpExecArray) => Kinds];

const jumpEnds: Readonly<Record<string, JumpEnd>> = { fine: 'fine', coda: 'coda', '𝄌': 'coda' };

function jump(to: JumpTarget): (match: RegExpExecArray) => Kinds {
  return (match) => ({ kind: 'jump', to, until: jumpEnds[(match[1] ?? '').toLowerCase()] });
}

/** '1,2' and '1-3'. */
function numbersOf(text: string): readonly number[] {
  return text.split(/[,.]/u).flatMap((part) => {
    const [first = 0, last = first] = part.split('-').map(Number);
    const count = Math.min(Math.max(last - first + 1, 1), mostEndings);
    return Array.from({ length: count }, (_, place) => first + place);
  });
}

const mostEndings = 100;
const numbers = /\d{1,2}(?:[,.-]\d{1,2})*/u.source;
/** A word ends here. */
const end = /(?=[\s|{}"]|:\||$)/u.source;
const until = /(?:\s+(?:al|to|till)\s+(fine|coda|𝄌))?/u.source;

function ending(match: RegExpExecArray): Kinds {
  return { kind: 'ending', numbers: numbersOf(match[1] ?? '') };
}

const plain =
  (kind: 'repeat-start' | 'repeat-both' | 'segno' | 'coda' | 'to-coda' | 'fine') => (): Kinds => ({
    kind,
  });
const sign =
  (
    kind:
      | 'beat'
      | 'again'
      | 'again-two'
      | 'rest'
      | 'chord'
      | 'choice'
      | 'group-start'
      | 'group-end'
      | 'unclosed-cue',
  ) =>
  (): Kinds => ({ kind });

/** First match wins. */
const rows: readonly Row[] = [
  [/#(?:\s(.*))?$/uy, (match) => ({ kind: 'comment', words: (match[1] ?? '').trim() })],
  [/"([^"]*)"/uy, (match) => ({ kind: 'cue', words: (match[1] ?? '').trim() })],
  [/"[^"]*$/uy, sign('unclosed-cue')],
  [/:\|{1,2}:|::/uy, plain('repeat-both')],
  [
    /:\|[|\]]?(?:\s*(?:[x×](\d{1,4})|\((\d{1,4})\s?[x×]\)))?/uy,
    (match) => {
      const times = match[1] ?? match[2];
      return { kind: 'repeat-end', times: times === undefined ? undefined : Number(times) };
    },
  ],
  [/\|{1,2}:|\[\|:/uy, plain('repeat-start')],
  [new RegExp(String.raw`\[(${numbers})\.?(?:\]|${end})`, 'uy'), ending],
  [new RegExp(String.raw`(${numbers})\.?${end}`, 'uy'), ending],
  [/\[([^\]|]+)\]/uy, (match) => ({ kind: 'section', name: (match[1] ?? '').trim() })],
  [/\|\]/uy, () => ({ kind: 'bar', style: 'final' })],
  [/\|\||\[\|/uy, () => ({ kind: 'bar', style: 'double' })],
  [/\|/uy, () => ({ kind: 'bar', style: 'single' })],
  [new RegExp(String.raw`(?:D\.\s?C\.?|DC|da\s+capo)${until}${end}`, 'iuy'), jump('start')],
  [new RegExp(String.raw`(?:D\.\s?S\.?|DS|dal\s+segno)${until}${end}`, 'iuy'), jump('segno')],
  [new RegExp(String.raw`(?:to|al)\s+(?:coda|𝄌)${end}`, 'iuy'), plain('to-coda')],
  [new RegExp(`(?:coda|𝄌)${end}`, 'iuy'), plain('coda')],
  [new RegExp(`(?:segno|𝄋)${end}`, 'iuy'), plain('segno')],
  [new RegExp(`fine${end}`, 'iuy'), plain('fine')],
  [/\{/uy, sign('group-start')],
  [/\}/uy, sign('group-end')],
  [/%%|𝄏/uy, sign('again-two')],
  [/%|𝄎/uy, sign('again')],
  [new RegExp(`[xX×]${end}`, 'uy'), sign('again')],
  [/\/(?=[\s/|}"]|:\||$)/uy, sign('beat')],
  [/\.(?=[\s.|}"]|:\||$)/uy, sign('beat')],
  [/[-–](?=[\s\-–|}"]|:\||$)/uy, sign('beat')],
  [new RegExp(`r${end}`, 'uy'), sign('rest')],
  [/[a-z]{2,}=(?:"[^"]*"|[^\s|%{}"]*)/iuy, sign('choice')],
  // Whatever else stands between spaces and bar lines.
  [/[^\s|%{}"]+?(?=:\||[\s|%{}"]|$)/uy, sign('chord')],
];

function tokenAt(line: string, at: number): Token {
  for (const [pattern, read] of rows) {
    pattern.lastIndex = at;
    const match = pattern.exec(line);
    if (match !== null) return { ...read(match), text: match[0], column: at + 1 };
  }
  // A character that nothing begins with: to be refused as the chord it is not.
  return { kind: 'chord', text: String.fromCodePoint(line.codePointAt(at) ?? 32), column: at + 1 };
}

export function tokensOf(line: string): Token[] {
  const tokens: Token[] = [];
  for (let at = 0; at < line.length; ) {
    if (/\s/u.test(line.charAt(at))) {
      at += 1;
      continue;
    }
    const token = tokenAt(line, at);
    tokens.push(token);
    at += token.text.length;
  }
  return tokens;
}
