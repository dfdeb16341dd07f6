/** A line of a chart cut into its signs, each with the column where it begins (from 1). */
export type Token = {
  readonly kind: 'bar' | 'repeat-start' | 'repeat-end' | 'beat' | 'again' | 'chord';
  readonly text: string;
  readonly column: number;
};

/** Longest signs first; a chord is whatever else stands between spaces and bar lines. */
const pattern = /\|\]|\|:|:\||\|+|%|\/(?=[\s/|]|$)|[^\s|%]+?(?=:\||[\s|%]|$)/gu;

function kindOf(text: string): Token['kind'] {
  if (text === '|:') return 'repeat-start';
  if (text === ':|') return 'repeat-end';
  if (text.startsWith('|')) return 'bar';
  if (text === '%') return 'again';
  return text === '/' ? 'beat' : 'chord';
}

export function tokensOf(line: string): Token[] {
  return [...line.matchAll(pattern)].map((match) => ({
    kind: kindOf(match[0]),
    text: match[0],
    column: match.index + 1,
  }));
}
