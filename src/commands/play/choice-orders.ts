/** Orders that choose by ear: `voicing next`, `bass previous`, `lead higher`, `voices fewer`. */

import type { ChoiceStep } from '../../live/choosing/choice-step.ts';
import type { PlaySession } from '../../session/session.ts';
import { type Turn, turns } from '../../voicing/choices.ts';

const directions = ['next', 'previous'] as const;

/** Other words for on and back, where the list has an upper and a lower end. */
const upDown: Readonly<Partial<Record<Turn, readonly [up: string, down: string]>>> = {
  lead: ['higher', 'lower'],
  voices: ['more', 'fewer'],
};

export function isTurn(word: string): word is Turn {
  return (turns as readonly string[]).includes(word);
}

function wordsOf(turn: Turn): readonly string[] {
  return [...directions, ...(upDown[turn] ?? [])];
}

function stepNamed(turn: Turn, word: string): ChoiceStep['by'] | undefined {
  const [up, down] = upDown[turn] ?? [];
  if (word === 'next' || word === up) return 1;
  return word === 'previous' || word === down ? -1 : undefined;
}

/** Turns once; a sentence where the order says no direction, else ''. */
export function obeyTurn(turn: Turn, direction: string, session: PlaySession): string {
  const by = stepNamed(turn, direction.toLowerCase());
  if (by === undefined) {
    const said = direction === '' ? `'${turn}' alone` : `'${turn} ${direction}'`;
    const ways = wordsOf(turn).map((word) => `'${turn} ${word}'`);
    return `${said} is no order; say ${ways.join(' or ')}.`;
  }
  session.choose({ turn, by });
  return '';
}
