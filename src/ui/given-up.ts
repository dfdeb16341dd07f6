/** What a voicing had to give up to be playable at all, as a musician would say it. */
import type { ChordReport } from '../live/snapshot.ts';

/** By the names the voicing rules have in a report. */
const words: { readonly [rule: string]: string } = {
  'bass policy': 'another bass than asked for',
  spacing: 'closer or wider than usual',
  doubling: 'a note doubled',
  reach: 'wider than the hand',
  'guide tones': 'a guide tone left out',
  'register of the upper voices': 'voices beyond register',
  'register of the bass': 'bass beyond its register',
  'low interval limits': 'low notes close together',
  'minor ninths': 'a minor ninth left in',
};

/** 'left out: 7; to fit: a note doubled'; '' when nothing is wanting. The end may be cut. */
export function wantingOf({ relaxed, leftOut = [] }: ChordReport['sent']): string {
  // Which guide tone it is stands behind.
  const rules = leftOut.length === 0 ? relaxed : relaxed.filter((rule) => rule !== 'guide tones');
  const fit = rules.map((rule) => words[rule] ?? rule).join(', ');
  return [leftOut.length > 0 && `left out: ${leftOut.join(', ')}`, fit && `to fit: ${fit}`]
    .filter(Boolean)
    .join('; ');
}
