/**
 * The best path: of a whole progression, the voicings that cost least together, by dynamic
 * programming (linear in chords). It is the yardstick for the live choice, which only looks back.
 */
import type { Candidates } from './choose.ts';
import { moveCost } from './leading.ts';
import { createMoves, type Move, type MovesBetween } from './moves.ts';
import type { Voicing } from './voicing.ts';

export type Path = {
  /** One voicing for each list of candidates; undefined where a list is empty. */
  readonly voicings: readonly (Voicing | undefined)[];
  readonly cost: number;
};

/** What a path costs: each voicing for itself, and each move. */
export function pathCost(lists: readonly Candidates[], chosen: readonly number[]): number {
  let cost = 0;
  let last: Voicing | undefined;
  lists.forEach((list, position) => {
    const index = chosen[position] ?? -1;
    const voicing = list.voicings[index];
    if (voicing === undefined) return;
    cost += (list.standing[index] ?? 0) + (last === undefined ? 0 : moveCost(last, voicing));
    last = voicing;
  });
  return cost;
}

function pathOf(lists: readonly Candidates[], chosen: readonly number[]): Path {
  const voicings = lists.map((list, position) => list.voicings[chosen[position] ?? -1]);
  return { voicings, cost: pathCost(lists, chosen) };
}

/** Moves that are kept of a progression. */
const mostKeptMoves = 1 << 24;

type Step = {
  /** Least cost of a path that ends in each voicing of the list. */
  readonly totals: Float64Array;
  /** Where that path comes from, in the list before. */
  readonly from: Int32Array;
};

function firstStep({ standing }: Candidates): Step {
  return { totals: Float64Array.from(standing), from: new Int32Array(standing.length).fill(-1) };
}

/**
 * One chord further. Predecessors are tried from the cheapest path upwards; since no move costs less
 * than nothing, the first whose path alone costs more than the best so far ends the search.
 */
function nextStep(before: Step, order: Int32Array, to: Candidates, move: Move): Step {
  const size = to.voicings.length;
  const totals = new Float64Array(size);
  const origins = new Int32Array(size);
  for (let there = 0; there < size; there += 1) {
    let least = Number.POSITIVE_INFINITY;
    let origin = -1;
    for (const here of order) {
      const total = before.totals[here] ?? 0;
      if (total >= least) break;
      const cost = total + move(here, there);
      if (cost < least) {
        least = cost;
        origin = here;
      }
    }
    totals[there] = least + (to.standing[there] ?? 0);
    origins[there] = origin;
  }
  return { totals, from: origins };
}

/** Places in the list by what the path to them costs, cheapest first; equals in list order. */
function orderOf({ totals }: Step): Int32Array {
  return Int32Array.from(totals.keys()).sort(
    (one, other) => (totals[one] ?? 0) - (totals[other] ?? 0) || one - other,
  );
}

/**
 * The voicings that cost least together. Lists that are empty stay without, and are led across.
 *
 * @param movesBetween what is known of their moves already; absent: nothing.
 */
export function bestPath(
  lists: readonly Candidates[],
  movesBetween: MovesBetween = createMoves(mostKeptMoves),
): Path {
  const steps: Step[] = [];
  const places: number[] = [];
  let before: Candidates | undefined;
  lists.forEach((list, position) => {
    if (list.voicings.length === 0) return;
    const last = steps.at(-1);
    const step =
      before === undefined || last === undefined
        ? firstStep(list)
        : nextStep(last, orderOf(last), list, movesBetween(before, list));
    steps.push(step);
    places.push(position);
    before = list;
  });
  const chosen: number[] = new Array(lists.length).fill(-1);
  const end = steps.at(-1);
  let index = end === undefined ? -1 : (orderOf(end)[0] ?? -1);
  for (let back = steps.length - 1; back >= 0; back -= 1) {
    chosen[places[back] ?? 0] = index;
    index = steps[back]?.from[index] ?? -1;
  }
  return pathOf(lists, chosen);
}
