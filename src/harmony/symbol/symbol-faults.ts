/** What is wrong between the words of a chord symbol, and how all its faults are said. */
import type { Token, Word } from './symbol-token.ts';

export const sentences = {
  number: (text: string) => `'${text}' is no degree a chord symbol names`,
  unknown: (text: string) => `'${text}' means nothing in a chord symbol`,
  parenthesis: (text: string) => `'${text}' is not closed`,
  bass: (text: string) => `'${text}' is no bass: behind a slash stands a note, A to G, with # or b`,
  closing: 'a parenthesis closes that was not opened',
  twice: (text: string) => `'${text}' is said twice`,
  alone: (text: string) => `'${text}' has nothing to stand between`,
  empty: 'there is nothing inside the parentheses',
  figures: (text: string) => `'${text}' makes no sense behind the figure before it`,
  unfinished: (text: string) => `'${text}' needs a number behind it`,
} as const;

/**
 * Figures that run together and say nothing: the same one again, unless a word for major tells the
 * two apart ('dim maj7 7'), or more than three of them.
 */
function isGibberish(tokens: readonly Token[], index: number): boolean {
  const figures: Token[] = [];
  for (let place = index; place >= 0; place -= 1) {
    const token = tokens[place];
    const next = figures[0];
    const isTouching = next === undefined || (token && token.at + token.text.length === next.at);
    if (token?.kind !== 'number' || !isTouching) break;
    figures.unshift(token);
  }
  const before = tokens[index - figures.length];
  const isTold = before?.kind === 'word' && ['major', 'triangle'].includes(before.word);
  return figures.length > 3 || (figures.length === 2 && !isTold && areSame(figures));
}

function areSame([one, other]: readonly Token[]): boolean {
  return one?.text === other?.text;
}

/** Commas and parentheses with nothing in them, numbers nobody has heard of. */
export function faultBetween(tokens: readonly Token[], index: number): string | undefined {
  const [last, next] = [tokens[index - 1], tokens[index]];
  if (next === undefined) return undefined;
  const isSign = (token: Token | undefined, ...signs: readonly Word[]) =>
    token?.kind === 'word' && signs.includes(token.word);
  if (last === undefined) return isSign(next, 'and') ? sentences.alone(next.text) : undefined;
  if (isSign(last, 'open') && isSign(next, 'close')) return sentences.empty;
  if (isSign(last, 'and', 'open') && isSign(next, 'and')) return sentences.alone(next.text);
  if (isSign(last, 'and') && isSign(next, 'close')) return sentences.alone(last.text);
  return isGibberish(tokens, index) ? sentences.figures(next.text) : undefined;
}
