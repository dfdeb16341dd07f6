/** A part of a sentence that says why, with the rule it rests on. */
import type { Prepared } from '../prepare.ts';
import type { ToldVoicing } from './built.ts';
import { type Rule, ruleOf } from './rules.ts';

export type Clause = { readonly text: string; readonly rule: Rule };

export function clause(id: string, text: string): Clause {
  return { text, rule: ruleOf(id) };
}

/** A chord among its neighbours; those absent where it is the first or the last that sounds. */
export type Placed = ToldVoicing & {
  readonly prepared: Prepared;
  /** As the chart chooses it: 'bass=third'; '' for nothing. */
  readonly chosen: string;
  readonly last: ToldVoicing | undefined;
  readonly next: ToldVoicing | undefined;
};
