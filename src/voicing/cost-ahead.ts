/**
 * The best path from wherever one is: for each voicing at each place of a progression that is known,
 * the least that going on from it to the end costs (dynamic programming from the end, Bellman 1957).
 * With that, the next voicing of the best path is one look through its list, whatever was played
 * before; nothing has to be planned anew when a player departs from it.
 */
import type { Candidates } from './choose.ts';
import { moveCost } from './leading.ts';
import type { Voicing } from './voicing.ts';

export type CostAhead = {
  /**
   * The place in the list of the voicing from which all together costs least; undefined while that is
   * not known, or where the list is not the one that was reckoned with.
   */
  readonly choose: (
    place: number,
    list: Candidates,
    last: Voicing | undefined,
    /** The how manyth best, from 1; 1 when absent. */
    rank?: number,
  ) => number | undefined;
  /** Reckons one place more, from the end on; false: all are known. */
  readonly prepare: () => boolean;
};

/** What it costs to go on from each voicing of a list, and which list. */
type Ahead = { readonly list: Candidates; readonly costs: Float64Array };

/** Moves of pairs of lists that are kept: progressions repeat their changes. */
const mostKeptMoves = 1 << 22;

/** What the move from one voicing of a list to one of another costs, by their places. */
type Move = (here: number, there: number) => number;
type MovesBetween = (from: Candidates, to: Candidates) => Move;

function createMoves(): MovesBetween {
  const kept = new Map<Candidates, Map<Candidates, Move>>();
  let count = 0;
  return (from, to) => {
    const row = kept.get(from) ?? new Map<Candidates, Move>();
    const known = row.get(to);
    if (known !== undefined) return known;
    const measured: Move = (here, there) => {
      const [last, next] = [from.voicings[here], to.voicings[there]];
      return last === undefined || next === undefined ? 0 : Math.fround(moveCost(last, next));
    };
    const width = to.voicings.length;
    const size = from.voicings.length * width;
    if (count + size > mostKeptMoves) return measured;
    count += size;
    const costs = new Float32Array(size).fill(-1);
    const move: Move = (here, there) => {
      const slot = here * width + there;
      const cost = costs[slot] ?? -1;
      if (cost >= 0) return cost;
      costs[slot] = measured(here, there);
      return costs[slot] ?? 0;
    };
    kept.set(from, row.set(to, move));
    return move;
  };
}

/**
 * Of each voicing of `from`, the least cost of going on. Since no move costs less than nothing, the
 * first voicing that alone costs more than the best so far ends the search.
 */
function costsFrom(from: Candidates, { list, costs }: Ahead, move: Move): Float64Array {
  const whole = Float64Array.from(costs, (cost, index) => cost + (list.standing[index] ?? 0));
  const order = Int32Array.from(whole.keys()).sort(
    (one, other) => (whole[one] ?? 0) - (whole[other] ?? 0) || one - other,
  );
  return Float64Array.from(from.voicings, (_, here) => {
    let least = Number.POSITIVE_INFINITY;
    for (const there of order) {
      const own = whole[there] ?? 0;
      if (own >= least) break;
      least = Math.min(least, own + move(here, there));
    }
    return least;
  });
}

/**
 * The place in the list of its `rank`th best voicing, from 1, by what it costs from `last` on; of
 * fewer, the last. Undefined for an empty list.
 */
export function rankedPlace(
  { voicings, standing }: Candidates,
  last: Voicing | undefined,
  rank: number,
  ahead?: Float64Array,
): number | undefined {
  const costs = voicings.map(
    (voicing, index) =>
      (standing[index] ?? 0) +
      (ahead?.[index] ?? 0) +
      (last === undefined ? 0 : moveCost(last, voicing)),
  );
  const seen = new Set<string>();
  const order = [...costs.keys()]
    .sort((one, other) => (costs[one] ?? 0) - (costs[other] ?? 0))
    .filter((index) => {
      const notes = voicings[index]?.notes.join(' ') ?? '';
      const isNew = !seen.has(notes);
      seen.add(notes);
      return isNew;
    });
  return order[rank - 1] ?? order.at(-1);
}

/** @param listAt undefined or empty for silence, which is led across. */
export function createCostAhead(
  count: number,
  listAt: (place: number) => Candidates | undefined,
): CostAhead {
  const known: (Ahead | undefined)[] = new Array(count).fill(undefined);
  const movesBetween = createMoves();
  let left = count;
  let next: Ahead | undefined;

  const reckon = (place: number): void => {
    const list = listAt(place);
    if (list === undefined || list.voicings.length === 0) return;
    const costs =
      next === undefined
        ? new Float64Array(list.voicings.length)
        : costsFrom(list, next, movesBetween(list, next.list));
    next = { list, costs };
    known[place] = next;
  };

  return {
    choose(place, list, last, rank = 1) {
      const ahead = known[place];
      if (ahead === undefined || ahead.list !== list) return undefined;
      if (rank > 1) return rankedPlace(list, last, rank, ahead.costs);
      let best: number | undefined;
      let least = Number.POSITIVE_INFINITY;
      list.voicings.forEach((voicing, index) => {
        const own = (list.standing[index] ?? 0) + (ahead.costs[index] ?? 0);
        if (own >= least) return;
        const cost = own + (last === undefined ? 0 : moveCost(last, voicing));
        if (cost >= least) return;
        least = cost;
        best = index;
      });
      return best;
    },
    prepare() {
      if (left === 0) return false;
      left -= 1;
      reckon(left);
      return left > 0;
    },
  };
}
