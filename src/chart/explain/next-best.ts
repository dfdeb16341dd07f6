/** What the next best voicing would do worse between the same neighbours. */
import { counted } from '../../common/words.ts';
import { explainMove } from '../../voicing/leading.ts';
import type { Voicing } from '../../voicing/voicing.ts';
import { type Clause, clause, type Placed } from './clause.ts';
import { ruleOf } from './rules.ts';

type Weighed = {
  readonly total: number;
  readonly costs: ReadonlyMap<string, { readonly cost: number; readonly amount: number }>;
};

/** What a voicing costs between its neighbours, term by term. */
function weigh(voicing: Voicing, standing: number, { last, next }: Placed): Weighed {
  const costs = new Map([['standing', { cost: standing, amount: standing }]]);
  const moves = [
    ...(last === undefined ? [] : explainMove(last.voicing, voicing)),
    ...(next === undefined ? [] : explainMove(voicing, next.voicing)),
  ];
  for (const { term, cost } of moves) {
    const known = costs.get(term.name) ?? { cost: 0, amount: 0 };
    costs.set(term.name, { cost: known.cost + cost, amount: known.amount + cost / term.weight });
  }
  let total = 0;
  for (const { cost } of costs.values()) total += cost;
  return { total, costs };
}

/** The same but for the octave of the bass: nobody would call that another voicing. */
function isOctaveApart(one: Voicing, other: Voicing): boolean {
  const bassOf = ({ bass }: Voicing) => (bass === undefined ? -1 : bass % 12);
  return one.upper.join() === other.upper.join() && bassOf(one) === bassOf(other);
}

/** What the cheapest other voicing of the list would do worse; undefined where there is none. */
export function comparedWithNext(placed: Placed): Clause | undefined {
  const { voicing, prepared } = placed;
  const { voicings, standing } = prepared.list;
  const own = voicings.indexOf(voicing);
  if (own < 0) return undefined;
  const others = voicings.flatMap((each, place) =>
    isOctaveApart(each, voicing) ? [] : [weigh(each, standing[place] ?? 0, placed)],
  );
  if (others.length === 0) return clause('standing', 'no other voicing keeps the rules here');
  const best = others.reduce((least, each) => (each.total < least.total ? each : least));
  const chosen = weigh(voicing, standing[own] ?? 0, placed);
  const worse = [...best.costs].map(([name, there]) => {
    const here = chosen.costs.get(name) ?? { cost: 0, amount: 0 };
    return { name, more: there.cost - here.cost, amount: there.amount - here.amount };
  });
  const most = worse.reduce((found, each) => (each.more > found.more ? each : found));
  // Over the whole of the piece, or where it was chosen, another may be the better one here.
  if (best.total < chosen.total || most.more <= 0) return undefined;
  const rule = ruleOf(most.name);
  const says = (rule.says ?? '').replace(/\{n ([^}]+)\}/u, (_, unit: string) =>
    counted(Math.round(most.amount), unit),
  );
  // Nothing comes before the first chord: what its voicing saves, it saves on the way to the next.
  const isOnward =
    placed.last === undefined && placed.next !== undefined && most.name !== 'standing';
  const onward = isOnward ? `on the way to ${placed.next.sounds} ` : '';
  return { rule, text: `${onward}the next best of ${others.length + 1} voicings would ${says}` };
}
