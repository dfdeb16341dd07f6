/** What a voicing had to give up to be playable at all, as a musician would say it. */

import { spokenRule } from '../common/given-up-words.ts';
import type { ChordReport } from '../live/snapshot.ts';

/** By the names the voicing rules have in a report; short, for the column is narrow. */
const words: { readonly [rule: string]: string } = {
  'bass policy': 'bass asked for',
  reach: "a hand's reach",
  'register of the upper voices': 'register',
  'register of the bass': 'bass register',
  'low interval limits': 'low intervals',
};

type Sent = Pick<ChordReport['sent'], 'relaxed' | 'leftOut' | 'lostBass' | 'voices'>;

/** 'not over E as held; left out: 7; given up: hybrid (spread instead), register'; '' when nothing is wanting. */
export function wantingOf({ relaxed, leftOut = [], lostBass, voices }: Sent): string {
  // Which guide tone it is stands before.
  const rules = leftOut.length === 0 ? relaxed : relaxed.filter((rule) => rule !== 'guide tones');
  const givenUp = rules.map((rule) => words[rule] ?? spokenRule(rule, voices)).join(', ');
  return [
    lostBass !== undefined && `not over ${lostBass} as held`,
    leftOut.length > 0 && `left out: ${leftOut.join(', ')}`,
    givenUp && `given up: ${givenUp}`,
  ]
    .filter(Boolean)
    .join('; ');
}
