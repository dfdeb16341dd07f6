/** Every strategy, one row each. A new one is one file and one row. */
import { close } from './close.ts';
import { drop2 } from './drop-2.ts';
import { fourths } from './fourths.ts';
import { hybrid } from './hybrid.ts';
import { spread } from './spread.ts';
import type { Strategy, StrategyId } from './voicing.ts';

export const strategies: readonly Strategy[] = [close, drop2, fourths, hybrid, spread];

const byId = new Map(strategies.map((strategy) => [strategy.id, strategy]));

export function strategyById(id: StrategyId): Strategy {
  const strategy = byId.get(id);
  if (strategy === undefined) throw new Error(`strategy "${id}" has no row in strategies.ts`);
  return strategy;
}
