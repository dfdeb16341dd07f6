/**
 * The best path from wherever one is: for each voicing at each place of a progression that is known,
 * the least that going on from it to the end costs (dynamic programming from the end, Bellman 1957).
 * With that, the next voicing of the best path is one look through its list, whatever was played
 * before; nothing has to be planned anew when a player departs from it.
 */
import type { Candidates } from './choose.ts';
import { moveCost } from './leading.ts';
import { createMoves, type Move } from './moves.ts';
import { rankedPlace, rankedPlaces } from './ranked.ts';
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
  /** The places in the list, the best first, each set of notes once; undefined as above. */
  readonly order: (
    place: number,
    list: Candidates,
    last: Voicing | undefined,
  ) => readonly number[] | undefined;
  /** What going on from each voicing of the list costs; undefined as above. */
  readonly costs: (place: number, list: Candidates) => Float64Array | undefined;
  /** Reckons one place more, from the end on; false: all are known. */
  readonly prepare: () => boolean;
};

/** What it costs to go on from each voicing of a list, and which list. */
type Ahead = { readonly list: Candidates; readonly costs: Float64Array };

/** Moves of pairs of lists that are kept: progressions repeat their changes. */
const mostKeptMoves = 1 << 22;

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

/** @param listAt undefined or empty for silence, which is led across. */
export function createCostAhead(
  count: number,
  listAt: (place: number) => Candidates | undefined,
): CostAhead {
  const known: (Ahead | undefined)[] = new Array(count).fill(undefined);
  const movesBetween = createMoves(mostKeptMoves);
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
    costs(place, list) {
      const ahead = known[place];
      return ahead?.list === list ? ahead.costs : undefined;
    },
    order(place, list, last) {
      const ahead = known[place];
      return ahead?.list === list ? rankedPlaces(list, last, ahead.costs) : undefined;
    },
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
