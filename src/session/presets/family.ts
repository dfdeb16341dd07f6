/** What presets are listed under: strategies that a player would look for in one place. */
import type { Preset, StrategyId } from '../../presets/preset.ts';

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

/** Families in the order in which their first presets come; within one, the order is kept. */
export function byFamily(presets: readonly Preset[]): readonly Preset[] {
  const names = [...new Set(presets.map(({ strategy }) => familyOf(strategy)))];
  return names.flatMap((name) => presets.filter(({ strategy }) => familyOf(strategy) === name));
}
