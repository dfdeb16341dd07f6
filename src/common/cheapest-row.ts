/**
 * Of each thing which kind it is taken for, so that what the things cost as these kinds and what the
 * changes from kind to kind cost is least together.
 */
export function cheapestRow<T, K>(
  things: readonly T[],
  kinds: readonly K[],
  costAs: (thing: T, kind: K) => number,
  change: number,
): readonly K[] {
  let totals = kinds.map(() => 0);
  const leastOf = (): number =>
    totals.reduce((best, total, index) => (total < (totals[best] ?? 0) ? index : best), 0);
  const origins = things.map((thing, place) => {
    const cheapest = leastOf();
    const changed = (totals[cheapest] ?? 0) + (place === 0 ? 0 : change);
    const from = totals.map((stay, index) => (changed < stay ? cheapest : index));
    totals = totals.map((stay, index) => {
      const kind = kinds[index];
      return Math.min(changed, stay) + (kind === undefined ? 0 : costAs(thing, kind));
    });
    return from;
  });
  let last = leastOf();
  const row: K[] = [];
  for (let place = things.length - 1; place >= 0; place -= 1) {
    const kind = kinds[last];
    if (kind !== undefined) row[place] = kind;
    last = origins[place]?.[last] ?? last;
  }
  return row;
}
