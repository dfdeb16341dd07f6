import type { StrategyId } from '../voicing/voicing.ts';

/** What a strategy alone means: the id of its plainest preset that came with Handspan. */
export const plainPresets: Readonly<Record<StrategyId, string>> = {
  close: 'close-as-played',
  open: 'open-triads',
  'drop-2': 'drop-2-sevenths',
  'drop-3': 'drop-3-sevenths',
  'drop-2-4': 'drop-2-4-ninths',
  shell: 'shells',
  rootless: 'rootless-hand',
  spread: 'spread-thirteenths',
  fourths: 'fourths-over-root',
  'fourths-and-third': 'fourths-and-third',
  fifths: 'fifths-open',
  hybrid: 'hybrid-major',
  'upper-structure': 'upper-structures',
  polychord: 'polychords',
  cluster: 'clusters',
  block: 'block-lead',
};
