/**
 * Places in the list on stage, 0 for the first. A preset may stand in it more than once, so that what
 * is stepped from is a place and no id. The list runs in a ring.
 */
type Listed = { readonly id: string };

/** The nearest place of the preset at `from` or after it; -1 when it is not in the list. */
export function placeFollowing(list: readonly Listed[], id: string, from: number): number {
  const after = list.findIndex((each, place) => place >= from && each.id === id);
  return after >= 0 ? after : list.findIndex((each) => each.id === id);
}

type Told = {
  readonly preset: Listed;
  readonly presets?: readonly Listed[];
  readonly place?: number;
};

/** The place a setup tells, else the nearest one of its preset from `present` on; -1: none. */
export function placeTold({ preset, presets = [], place }: Told, present: number): number {
  return placeFollowing(presets, preset.id, place ?? present);
}

/** `placeFollowing` as a part of a setup: nothing when it is not in the list. */
export function placeIn(
  list: readonly Listed[],
  id: string,
  from = 0,
): { readonly place?: number } {
  const place = placeFollowing(list, id, from);
  return place < 0 ? {} : { place };
}

/** Place of the preset that stands there as the `occurrence`-th, 0 for the first; -1: not there. */
export function placeOfOccurrence(list: readonly Listed[], id: string, occurrence: number): number {
  const places = list.flatMap((each, place) => (each.id === id ? [place] : []));
  return places[occurrence] ?? places.at(-1) ?? -1;
}

/** The place one step on (1) or back (-1); from outside the list (-1) to its near end. */
export function steppedPlace(count: number, place: number, by: 1 | -1): number {
  if (place < 0) return by > 0 ? 0 : count - 1;
  return (place + by + count) % count;
}
