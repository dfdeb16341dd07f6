/** What explanations cite: rules and techniques, each with its source, from shared/explanations.json. */
import data from '../../../shared/explanations.json' with { type: 'json' };
import type { StrategyId } from '../../voicing/voicing.ts';

export type Rule = {
  readonly id: string;
  /** In a few words. */
  readonly rule: string;
  readonly source: string;
  /** What goes on after 'the next best voicing would'; absent: the rule decides no such thing. */
  readonly says?: string;
};

export type TechniqueTold = {
  readonly id: string;
  readonly definition: string;
  readonly source: string;
};

const rules: ReadonlyMap<string, Rule> = new Map(data.rules.map((rule) => [rule.id, rule]));

/** @throws RangeError for an id that stands in no row: ids come from our own code. */
export function ruleOf(id: string): Rule {
  const rule = rules.get(id);
  if (rule === undefined) throw new RangeError(`shared/explanations.json has no rule '${id}'`);
  return rule;
}

/** The lines for these techniques, each once, in the order of the table. */
export function techniquesTold(ids: Iterable<StrategyId | ''>): readonly TechniqueTold[] {
  const wanted = new Set<string>(ids);
  return data.techniques.filter(({ id }) => wanted.has(id));
}
