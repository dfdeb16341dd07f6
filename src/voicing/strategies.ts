/**
 * Every strategy, one row each. A new one is one file and one row; presets, charts and screens read
 * its facts here.
 */
import { block } from './block.ts';
import { close } from './close.ts';
import { cluster } from './cluster.ts';
import { drop2, drop3, drop24 } from './drop.ts';
import { fifths } from './fifths.ts';
import { fourths } from './fourths.ts';
import { fourthsAndThird } from './fourths-and-third.ts';
import { hybrid } from './hybrid.ts';
import { open } from './open.ts';
import { polychord } from './polychord.ts';
import { rootless } from './rootless.ts';
import { shell } from './shell.ts';
import { spread } from './spread.ts';
import { upperStructure } from './upper-structure.ts';
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
