/** What a voicing had to give up to be playable at all, as a musician would say it. */
import { withDoubled } from '../common/doubled-names.ts';
import type { ChordReport } from '../live/snapshot.ts';

/** By the names the voicing rules have in a report; short, for the column is narrow. */
const words: { readonly [rule: string]: string } = {
  'bass policy': 'bass asked for',
  reach: "a hand's reach",
  'register of the upper voices': 'register',
  'register of the bass': 'bass register',
  'low interval limits': 'low intervals',
  'minor ninths': 'no minor ninth',
};

type Sent = Pick<ChordReport['sent'], 'relaxed' | 'leftOut' | 'lostBass' | 'voices'>;

/** Degrees that lead: the third of a dominant, the seventh over a tonic. */
const leading: readonly string[] = ['3', '7'];

/** Of a doubling, which tone it is. */
function wordFor(rule: string, voices: Sent['voices']): string {
  const names = (all: Sent['voices']) => all.map(({ name }) => name);
  if (rule === 'doubling') return withDoubled('no doubling', names(voices));
  if (rule !== 'leading tone') return words[rule] ?? rule;
  const leads = voices.filter(({ degree }) => leading.includes(degree));
  return withDoubled('single leading tone', names(leads));
}

/** 'not over E as held; left out: 7; given up: hybrid (spread instead), register'; '' when nothing is wanting. */
export function wantingOf({ relaxed, leftOut = [], lostBass, voices }: Sent): string {
  // Which guide tone it is stands before.
  const rules = leftOut.length === 0 ? relaxed : relaxed.filter((rule) => rule !== 'guide tones');
  const givenUp = rules.map((rule) => wordFor(rule, voices)).join(', ');
  return [
    lostBass !== undefined && `not over ${lostBass} as held`,
    leftOut.length > 0 && `left out: ${leftOut.join(', ')}`,
    givenUp && `given up: ${givenUp}`,
  ]
    .filter(Boolean)
    .join('; ');
}
