/**
 * Where the texture of a passage changes: it is divided so that most chords of each section are built
 * alike, and into no more sections than that asks for. Dynamic programming, linear in chords. What a
 * new section costs: common practice, no source.
 */
import type { DescribedChord } from './describe.ts';

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

export type Section = {
  /** Places among the chords, the second one not included. */
  readonly from: number;
  readonly to: number;
  /** What most of its chords are built by. */
  readonly technique: DescribedChord['technique'];
  /** So many of its chords. */
  readonly chords: number;
};

/** As many chords of another technique stand in a section before it is divided. */
const newSection = 3;

type Built = Pick<DescribedChord, 'technique'>;

export function sectionsOf(chords: readonly Built[]): readonly Section[] {
  const kinds = [...new Set(chords.map(({ technique }) => technique))];
  const row = cheapestRow(
    chords,
    kinds,
    ({ technique }, kind) => (technique === kind ? 0 : 1),
    newSection,
  );
  const found: Section[] = [];
  let from = 0;
  for (let to = 1; to <= row.length; to += 1) {
    const technique = row[from];
    if (technique === undefined || (to < row.length && row[to] === technique)) continue;
    const own = chords.slice(from, to).filter((each) => each.technique === technique).length;
    found.push({ from, to, technique, chords: own });
    from = to;
  }
  return found;
}
