/**
 * Looking ahead without seeing: music repeats itself, so what followed this chord before, and what
 * was played lately, is what a player may go to next. Of the voicings to choose from, those cost
 * less from which such chords are near. Only the past decides: the same input and the same history
 * always give the same choice. Method and weights are ours; the yardstick is the best path (path.ts).
 */
import { without } from '../common/without.ts';
import type { Candidates } from './choose.ts';
import { moveCost } from './leading.ts';
import type { Voicing } from './voicing.ts';

export type Foresight = {
  /**
   * The place in the list of the voicing to take after `last`; -1 for an empty list. `isCorrection`:
   * in place of the choice before, which taught nothing.
   */
  readonly choose: (list: Candidates, last: Voicing | undefined, isCorrection?: boolean) => number;
};

/** Chords of late that count as possible next ones, all together as much as one that has followed. */
const remembered = 6;
/** Cost beyond the cheapest from which no outlook, however good, is looked at. */
const margin = 12;
/** Voices moved in thought for a single choice at most, so that none keeps a player waiting. */
const mostMeasured = 1500;
/** Pairs of chords whose moves are kept; beyond, all are forgotten and measured anew. */
const mostPairs = 4000;

/** Chords that have followed others that are remembered; beyond, all are forgotten. */
const mostFollowers = 4000;

/** The least that going on to one chord costs from each voicing of another; -1: not yet measured. */
type Outlook = Float64Array;

/** The least that going on to `next` costs. */
function leastTo(next: Candidates, from: Voicing): number {
  let least = Number.POSITIVE_INFINITY;
  for (let index = 0; index < next.voicings.length; index += 1) {
    const voicing = next.voicings[index];
    const own = next.standing[index] ?? 0;
    if (voicing === undefined || own >= least) continue;
    least = Math.min(least, own + moveCost(from, voicing));
  }
  return Number.isFinite(least) ? least : 0;
}

/** The places of the list that are worth a second look, in its order. */
function shortlist(costs: Float64Array): number[] {
  // In loops, as below: this is done with every chord, and an iterator makes an object of each cost.
  let least = Number.POSITIVE_INFINITY;
  for (let place = 0; place < costs.length; place += 1) {
    least = Math.min(least, costs[place] ?? least);
  }
  const places: number[] = [];
  for (let place = 0; place < costs.length; place += 1) {
    if ((costs[place] ?? 0) <= least + margin) places.push(place);
  }
  return places;
}

function costsFrom({ voicings, standing }: Candidates, last: Voicing | undefined): Float64Array {
  const costs = standing.slice();
  if (last === undefined) return costs;
  for (let place = 0; place < costs.length; place += 1) {
    const voicing = voicings[place];
    if (voicing !== undefined) costs[place] = (costs[place] ?? 0) + moveCost(last, voicing);
  }
  return costs;
}

/** The list before the others, and no more of them than are remembered. */
function withFirst(list: Candidates, others: readonly Candidates[]): readonly Candidates[] {
  const first = [list].concat(without(others, list));
  return first.length > remembered ? first.slice(0, remembered) : first;
}

/** What has followed what, and what was played of late. */
function createFollowers() {
  const followers = new Map<Candidates, Map<Candidates, number>>();
  let recent: readonly Candidates[] = [];
  let before: Candidates | undefined;
  /** Before the last choice, to go back to when it is corrected. */
  let earlier:
    | { readonly before: Candidates | undefined; readonly recent: readonly Candidates[] }
    | undefined;
  let followed = 0;

  return {
    before: () => before,
    forgetLast(): void {
      if (earlier === undefined || before === undefined) return;
      const counts = earlier.before === undefined ? undefined : followers.get(earlier.before);
      const times = counts?.get(before) ?? 0;
      if (times > 1) counts?.set(before, times - 1);
      else counts?.delete(before);
      ({ before, recent } = earlier);
      earlier = undefined;
    },
    remember(list: Candidates): void {
      earlier = { before, recent };
      if (before !== undefined) {
        if (followed >= mostFollowers) {
          followers.clear();
          followed = 0;
        }
        const counts = followers.get(before) ?? new Map<Candidates, number>();
        if (!counts.has(list)) followed += 1;
        followers.set(before, counts.set(list, (counts.get(list) ?? 0) + 1));
      }
      recent = withFirst(list, recent);
      before = list;
    },
    /** What may come after the list, and how likely it is beside the others. */
    forEachAfter(list: Candidates, look: (next: Candidates, share: number) => void): void {
      // The loop over a map makes a pair of each entry.
      followers.get(list)?.forEach((times, next) => {
        look(next, times);
      });
      for (const next of recent) look(next, 1 / recent.length);
    },
  };
}

function countMissing(costs: Outlook, places: readonly number[]): number {
  let missing = 0;
  for (const place of places) if ((costs[place] ?? 0) < 0) missing += 1;
  return missing;
}

/** What going on from each voicing of a chord costs at the least, measured once for each pair. */
function createOutlooks() {
  const outlooks = new Map<Candidates, Map<Candidates, Outlook>>();
  let pairs = 0;

  const outlookOn = (list: Candidates, next: Candidates): Outlook => {
    const own = outlooks.get(list) ?? new Map<Candidates, Outlook>();
    const known = own.get(next);
    if (known !== undefined) return known;
    pairs += 1;
    const made = new Float64Array(list.voicings.length).fill(-1);
    outlooks.set(list, own.set(next, made));
    return made;
  };

  return {
    forgetIfMany(): void {
      if (pairs <= mostPairs) return;
      outlooks.clear();
      pairs = 0;
    },
    /** At these places; undefined when this choice has measured enough already. */
    measured(
      list: Candidates,
      next: Candidates,
      places: readonly number[],
      budget: { left: number },
    ): Outlook | undefined {
      const costs = outlookOn(list, next);
      const missing = countMissing(costs, places);
      const voices = list.voicings[0]?.upper.length ?? 0;
      const work = missing * next.voicings.length * voices;
      if (work > budget.left) return undefined;
      if (missing === 0) return costs;
      budget.left -= work;
      for (const place of places) {
        const voicing = list.voicings[place];
        const isMissing = (costs[place] ?? 0) < 0;
        if (isMissing && voicing !== undefined) costs[place] = leastTo(next, voicing);
      }
      return costs;
    },
  };
}

export function createForesight(): Foresight {
  const followers = createFollowers();
  const outlooks = createOutlooks();

  /** Adds to the costs at these places what going on from each is likely to cost: an average. */
  const addProspects = (list: Candidates, places: readonly number[], costs: Float64Array): void => {
    outlooks.forgetIfMany();
    const budget = { left: mostMeasured };
    const found: { readonly ahead: Outlook; readonly share: number }[] = [];
    followers.forEachAfter(list, (next, share) => {
      const ahead = outlooks.measured(list, next, places, budget);
      if (ahead !== undefined) found.push({ ahead, share });
    });
    const weight = found.reduce((sum, { share }) => sum + share, 0);
    for (const { ahead, share } of found) {
      for (const place of places) {
        costs[place] = (costs[place] ?? 0) + ((ahead[place] ?? 0) * share) / weight;
      }
    }
  };

  /** The place with the least cost; ties go to the one listed first. */
  const choose = (list: Candidates, last: Voicing | undefined): number => {
    // The same chord again is the same voicing again.
    const isAgain = list === followers.before() && last !== undefined;
    const again = isAgain ? list.voicings.indexOf(last) : -1;
    if (again >= 0) return again;
    const costs = costsFrom(list, last);
    const places = shortlist(costs);
    if (places.length > 1) addProspects(list, places, costs);
    let best = places[0] ?? -1;
    for (const place of places) if ((costs[place] ?? 0) < (costs[best] ?? 0)) best = place;
    return best;
  };

  return {
    choose(list, last, isCorrection) {
      if (isCorrection === true) followers.forgetLast();
      const chosen = choose(list, last);
      followers.remember(list);
      return chosen;
    },
  };
}
