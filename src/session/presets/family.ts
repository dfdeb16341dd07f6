/** What presets are listed under: strategies that a player would look for in one place. */
import type { StrategyId } from '../../presets/preset.ts';

const families: { readonly [S in StrategyId]: string } = {
  block: 'block chords',
  close: 'close',
  cluster: 'clusters',
  'drop-2': 'drop voicings',
  'drop-3': 'drop voicings',
  'drop-2-4': 'drop voicings',
  fifths: 'fourths and fifths',
  fourths: 'fourths and fifths',
  'fourths-and-third': 'fourths and fifths',
  hybrid: 'triads above',
  'upper-structure': 'triads above',
  polychord: 'triads above',
  open: 'open and spread',
  spread: 'open and spread',
  rootless: 'few voices',
  shell: 'few voices',
};

export function familyOf(strategy: StrategyId): string {
  return families[strategy];
}
