/**
 * Where a player goes from each place of a tune, before anything is heard of the chord: mostly to the
 * next one. The chances are common practice, no source.
 */
import { distance, type Places } from './places.ts';

/** Of the chord that comes after one. */
const chances = {
  /** Struck again, or a passing chord on the way to the next. */
  same: 0.05,
  next: 0.84,
  /** By chords left out, from one on. */
  skip: [0.03, 0.01, 0.006, 0.004, 0.004, 0.003, 0.003],
  /** By chords gone back, from one on: a vamp. */
  back: [0.008, 0.006, 0.004, 0.004, 0.002, 0.002, 0.002, 0.002],
  /** To the beginning of any section, and of the tune. */
  section: 0.035,
  anywhere: 0.0005,
} as const;

/** A player may leave out a chord that only repeats the one before: how much of a move that takes. */
const heldOn = 0.4;
/** Another occurrence of a section than the one that comes next. */
const otherOccurrence = 0.1;
/** Less than this is no place to go on from. */
const leastShare = 1e-5;
/** Of a player who begins, or whose place was set. */
const atSetPlace = 0.9;

/** How well a move over so many quarter notes suits the time that has passed. */
export type InTime = {
  readonly onwards: (quarters: number) => number;
  readonly within: (quarters: number) => number;
};

const untimed: InTime = { onwards: () => 1, within: () => 1 };

function add(next: Float64Array, place: number, share: number): void {
  next[place] = (next[place] ?? 0) + share;
}

function goForward(
  places: Places,
  from: number,
  share: number,
  { onwards }: InTime,
  next: Float64Array,
) {
  const { symbolAt } = places;
  const count = symbolAt.length;
  const steps = Math.min(chances.skip.length + 1, count - 1);
  let chance: number = chances.next;
  let isOn = true;
  for (let step = 1; step <= steps; step += 1) {
    const to = (from + step) % count;
    isOn = isOn && symbolAt[to] === symbolAt[from];
    const own = isOn ? chance * (1 - heldOn) : chance;
    add(next, to, share * own * onwards(distance(places, from, to)));
    // What is left of it goes on past a chord that is only held on.
    chance = isOn ? chance * heldOn : (chances.skip[step - 1] ?? 0);
  }
}

function goBack(from: number, share: number, next: Float64Array): void {
  chances.back.forEach((chance, index) => {
    const to = from - index - 1;
    if (to >= 0) add(next, to, share * chance);
  });
}

/** To the beginnings of sections: of each the next occurrence rather than another. */
function goToSections(
  { openings, pages }: Places,
  from: number,
  share: number,
  next: Float64Array,
): void {
  const met = new Set<number>();
  const ahead = Math.max(
    0,
    openings.findIndex((place) => place > from),
  );
  const order = openings.map((_, index) => (ahead + index) % openings.length);
  const weights = order.map((index) => {
    const page = pages[index] ?? 0;
    const isNext = !met.has(page);
    met.add(page);
    return isNext ? 1 : otherOccurrence;
  });
  const sum = weights.reduce((total, weight) => total + weight, 0);
  order.forEach((index, turn) => {
    add(next, openings[index] ?? 0, (share * (weights[turn] ?? 0)) / sum);
  });
}

function goAnywhere(next: Float64Array): void {
  next.fill(chances.anywhere / next.length);
}

/** Until the next chord. */
function lengthAt(places: Places, place: number): number {
  return distance(places, place, (place + 1) % places.symbolAt.length);
}

/** From where a player is believed to be, `likeliest` above all. */
export function moveOn(
  places: Places,
  { belief, likeliest }: { readonly belief: Float64Array; readonly likeliest: number },
  time: InTime,
  next: Float64Array,
): void {
  goAnywhere(next);
  for (let place = 0; place < belief.length; place += 1) {
    const share = belief[place] ?? 0;
    if (share < leastShare) continue;
    const length = lengthAt(places, place);
    add(next, place, share * chances.same * time.within(length));
    goForward(places, place, share, time, next);
    goBack(place, share * time.onwards(length), next);
  }
  const jump = time.onwards(lengthAt(places, likeliest));
  goToSections(places, likeliest, chances.section * jump, next);
}

/** Where a player begins who is expected at a place. */
export function beginAt(places: Places, place: number, next: Float64Array): void {
  goAnywhere(next);
  goToSections(places, -1, chances.section, next);
  add(next, place, atSetPlace);
  goForward(places, place, 1 - atSetPlace, untimed, next);
}

/** Steps round the end of a tune that are no jump. */
export const longestSkip = chances.skip.length + 1;
/** Steps back that are a vamp. */
export const longestVamp = chances.back.length;
