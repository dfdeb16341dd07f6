/** Every strategy, one row each. A new one is one file and one row. */
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
import type { Strategy, StrategyId } from './voicing.ts';

export const strategies: readonly Strategy[] = [
  close,
  open,
  drop2,
  drop3,
  drop24,
  shell,
  rootless,
  spread,
  fourths,
  fourthsAndThird,
  fifths,
  hybrid,
  upperStructure,
  polychord,
  cluster,
  block,
];

const byId = new Map(strategies.map((strategy) => [strategy.id, strategy]));

export function strategyById(id: StrategyId): Strategy {
  const strategy = byId.get(id);
  if (strategy === undefined) throw new Error(`strategy "${id}" has no row in strategies.ts`);
  return strategy;
}
