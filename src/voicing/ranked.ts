/** Voicings in the order of what they cost, each set of notes once. */
import type { Candidates } from './choose.ts';
import { moveCost } from './leading.ts';
import type { Voicing } from './voicing.ts';

/** The first of each set of notes, in the order given. */
export function distinct<T>(
  all: readonly T[],
  voicingOf: (each: T) => Pick<Voicing, 'notes'> | undefined,
): T[] {
  const known = new Set<string>();
  return all.filter((each) => {
    const notes = voicingOf(each)?.notes.join(' ') ?? '';
    const isNew = !known.has(notes);
    known.add(notes);
    return isNew;
  });
}

/**
 * The places in the list by what each voicing costs from `last` on, best first.
 * @param ahead what going on from each costs; absent: nothing.
 */
export function rankedPlaces(
  { voicings, standing }: Candidates,
  last: Voicing | undefined,
  ahead?: Float64Array,
): readonly number[] {
  const costs = voicings.map(
    (voicing, index) =>
      (standing[index] ?? 0) +
      (ahead?.[index] ?? 0) +
      (last === undefined ? 0 : moveCost(last, voicing)),
  );
  const order = [...costs.keys()].sort((one, other) => (costs[one] ?? 0) - (costs[other] ?? 0));
  return distinct(order, (index) => voicings[index]);
}

/** The place of the `rank`th best, from 1; of fewer, the last. Undefined for an empty list. */
export function rankedPlace(
  list: Candidates,
  last: Voicing | undefined,
  rank: number,
  ahead?: Float64Array,
): number | undefined {
  const places = rankedPlaces(list, last, ahead);
  return places[rank - 1] ?? places.at(-1);
}

/** A list of one voicing, the one at that place. */
export function alone(list: Candidates, index: number): Candidates {
  const voicing = list.voicings[index];
  if (voicing === undefined) return list;
  return { ...list, voicings: [voicing], standing: Float64Array.of(list.standing[index] ?? 0) };
}
