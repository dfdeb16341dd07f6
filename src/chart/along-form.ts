/**
 * The best path over a form: a chord that is written once has one voicing, however often its bar is
 * played, so that a score with repeat signs says what sounds. Without repeats it is the best path;
 * with them the repeated chords are settled first, by what they cost at all their places, and the
 * others are led between them. Near the least cost, not always at it.
 */
import type { Candidates } from '../voicing/choose.ts';
import { moveCost } from '../voicing/leading.ts';
import { bestPath, pathCost } from '../voicing/path.ts';
import { alone } from '../voicing/ranked.ts';
import type { Voicing } from '../voicing/voicing.ts';

type Voicings = (Voicing | undefined)[];

/** A chord that is written once and played at several places. */
export type Repeated = { readonly list: Candidates; readonly places: readonly number[] };

const sweeps = 2;

/** Where each written chord is played. */
export function placesByName(names: readonly string[]): ReadonlyMap<string, readonly number[]> {
  const byName = new Map<string, number[]>();
  names.forEach((name, place) => {
    const places = byName.get(name);
    if (places === undefined) byName.set(name, [place]);
    else places.push(place);
  });
  return byName;
}

function repeatedOf(lists: readonly Candidates[], names: readonly string[]): readonly Repeated[] {
  return [...placesByName(names).values()].flatMap((places) => {
    const list = lists[places[0] ?? 0];
    return places.length > 1 && list !== undefined && list.voicings.length > 0
      ? [{ list, places }]
      : [];
  });
}

/** What stands beside a place, silence passed over. */
function neighbours(
  voicings: readonly (Voicing | undefined)[],
  place: number,
): readonly (number | undefined)[] {
  const found = [-1, 1].map((step) => {
    let at = place + step;
    while (at >= 0 && at < voicings.length && voicings[at] === undefined) at += step;
    return at >= 0 && at < voicings.length ? at : undefined;
  });
  return found;
}

type Around = {
  /** Voicings before and behind the chord, and at how many of its places. */
  readonly before: Map<Voicing, number>;
  readonly behind: Map<Voicing, number>;
  /** How often it follows itself. */
  toItself: number;
};

function around({ places }: Repeated, voicings: readonly (Voicing | undefined)[]): Around {
  const own = new Set(places);
  const found: Around = { before: new Map(), behind: new Map(), toItself: 0 };
  const count = (at: number | undefined, counts: Map<Voicing, number>) => {
    const voicing = at === undefined || own.has(at) ? undefined : voicings[at];
    if (voicing !== undefined) counts.set(voicing, (counts.get(voicing) ?? 0) + 1);
  };
  for (const place of places) {
    const [before, behind] = neighbours(voicings, place);
    count(before, found.before);
    count(behind, found.behind);
    if (before !== undefined && own.has(before)) found.toItself += 1;
  }
  return found;
}

/** The voicing of least cost at all places of the chord, the others as they are. */
function settle(repeated: Repeated, voicings: Voicings): void {
  const { list, places } = repeated;
  const costHere = costThere(repeated, around(repeated, voicings));
  let best: Voicing | undefined;
  let least = Number.POSITIVE_INFINITY;
  list.voicings.forEach((voicing, index) => {
    const cost = costHere(voicing, index);
    if (cost < least) {
      best = voicing;
      least = cost;
    }
  });
  for (const place of places) voicings[place] = best;
}

/** What a voicing costs at all the places of its chord, the others as they are. */
function costThere(
  { list, places }: Repeated,
  { before, behind, toItself }: Around,
): (voicing: Voicing, index: number) => number {
  return (voicing, index) => {
    let cost = (list.standing[index] ?? 0) * places.length + toItself * moveCost(voicing, voicing);
    for (const [other, count] of before) cost += moveCost(other, voicing) * count;
    for (const [other, count] of behind) cost += moveCost(voicing, other) * count;
    return cost;
  };
}

function pinned(list: Candidates, voicing: Voicing | undefined): Candidates {
  const index = voicing === undefined ? -1 : list.voicings.indexOf(voicing);
  return alone(list, index);
}

/** Repeated chords as they are played the first time or the last, then settled. */
function settled(
  lists: readonly Candidates[],
  repeated: readonly Repeated[],
  free: Voicings,
  visit: 0 | -1,
): Voicings {
  const voicings = [...free];
  for (const { places } of repeated) {
    const voicing = free[places.at(visit) ?? 0];
    for (const place of places) voicings[place] = voicing;
  }
  for (let sweep = 0; sweep < sweeps; sweep += 1) {
    for (const each of repeated) settle(each, voicings);
  }
  const pins = [...lists];
  for (const { list, places } of repeated) {
    const pin = pinned(list, voicings[places[0] ?? 0]);
    for (const place of places) pins[place] = pin;
  }
  return [...bestPath(pins).voicings];
}

function costOf(lists: readonly Candidates[], voicings: Voicings): number {
  const chosen = lists.map((list, place) => {
    const voicing = voicings[place];
    return voicing === undefined ? -1 : list.voicings.indexOf(voicing);
  });
  return pathCost(lists, chosen);
}

/** @param names of each chord which one it is as written; alike where it is the same. */
export function pathAlongForm(
  lists: readonly Candidates[],
  names: readonly string[],
): readonly (Voicing | undefined)[] {
  const free = [...bestPath(lists).voicings];
  const repeated = repeatedOf(lists, names);
  if (repeated.length === 0) return free;
  const [first, last] = ([0, -1] as const).map((visit) => settled(lists, repeated, free, visit));
  if (first === undefined || last === undefined) return free;
  return costOf(lists, first) <= costOf(lists, last) ? first : last;
}
