/**
 * What moves between the voicings of two lists cost, measured when first needed and kept: progressions
 * repeat their changes.
 */
import type { Candidates } from './choose.ts';
import { moveCost } from './leading.ts';

/** What the move from one voicing of a list to one of another costs, by their places. */
export type Move = (here: number, there: number) => number;
export type MovesBetween = (from: Candidates, to: Candidates) => Move;

/** @param mostKept moves that are kept; beyond, each is measured when it is asked for. */
export function createMoves(mostKept: number): MovesBetween {
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
    if (count + size > mostKept) return measured;
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
