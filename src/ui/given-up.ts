/** What a voicing had to give up to be playable at all, as a musician would say it. */

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

/** 'bass beyond its register, a note doubled'; '' when nothing was given up. */
export function givenUp(relaxed: readonly string[]): string {
  return relaxed.map((rule) => words[rule] ?? rule).join(', ');
}
