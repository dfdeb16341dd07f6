/**
 * Every strategy, one row each. A new one is one file and one row; presets, charts and screens read
 * its facts here.
 */
import { block } from './strategies/block.ts';
import { close } from './strategies/close.ts';
import { cluster } from './strategies/cluster.ts';
import { drop2, drop3, drop24 } from './strategies/drop.ts';
import { fifths } from './strategies/fifths.ts';
import { fourths } from './strategies/fourths.ts';
import { fourthsAndThird } from './strategies/fourths-and-third.ts';
import { hybrid } from './strategies/hybrid.ts';
import { open } from './strategies/open.ts';
import { polychord } from './strategies/polychord.ts';
import { rootless } from './strategies/rootless.ts';
import { shell } from './strategies/shell.ts';
import { spread } from './strategies/spread.ts';
import { upperStructure } from './strategies/upper-structure.ts';
import { type Strategy, type StrategyId, strategyIds } from './voicing.ts';

const byId: { readonly [S in StrategyId]: Strategy } = {
  close,
  open,
  'drop-2': drop2,
  'drop-3': drop3,
  'drop-2-4': drop24,
  shell,
  rootless,
  spread,
  fourths,
  'fourths-and-third': fourthsAndThird,
  fifths,
  hybrid,
  'upper-structure': upperStructure,
  polychord,
  cluster,
  block,
};

export const strategies: readonly Strategy[] = strategyIds.map((id) => byId[id]);

export function strategyById(id: StrategyId): Strategy {
  return byId[id];
}
