/** The live choice over a whole progression: each voicing from the past alone, as on stage. */
import type { Candidates } from '../../src/voicing/choose.ts';
import { createForesight } from '../../src/voicing/foresight.ts';
import { type Path, pathCost } from '../../src/voicing/path.ts';
import type { Voicing } from '../../src/voicing/voicing.ts';

export function livePath(lists: readonly Candidates[]): Path {
  const foresight = createForesight();
  let last: Voicing | undefined;
  const chosen = lists.map((list) => {
    const index = foresight.choose(list, last);
    last = list.voicings[index] ?? last;
    return index;
  });
  const voicings = lists.map((list, position) => list.voicings[chosen[position] ?? -1]);
  return { voicings, cost: pathCost(lists, chosen) };
}
