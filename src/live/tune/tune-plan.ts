/**
 * The voicings of the tune on the stage, planned along the best path to its end in the pauses of the
 * playing. Where the plan has nothing to say of a chord, the choice is the one without a tune.
 */
import type { Chord } from '../../harmony/chord/chord.ts';
import type { ChosenForChord } from '../../presets/chosen.ts';
import type { Candidates } from '../../voicing/choose.ts';
import { type CostAhead, createCostAhead } from '../../voicing/cost-ahead.ts';
import { alone } from '../../voicing/ranked.ts';
import type { Voicing } from '../../voicing/voicing.ts';
import type { TuneCourse, TuneOnStage } from './tune-on-stage.ts';

/** The list that a chord as written is chosen from, under its written top note, as was chosen for it. */
export type ListFor = (
  chord: Chord,
  lead: number | undefined,
  chosen: ChosenForChord | undefined,
  /** Where in the tune. */
  place: number,
) => Candidates;

export type TunePlan = {
  /** The place in the list; undefined: as without a tune. */
  readonly choose: (
    list: Candidates,
    last: Voicing | undefined,
    /** The how manyth best, from 1. */
    rank?: number,
  ) => number | undefined;
  /** Plans a little more; false: all is planned. */
  readonly prepare: () => boolean;
};

type Plan = Pick<CostAhead, 'choose' | 'prepare'>;
type ListAt = (place: number) => Candidates | undefined;

/**
 * Where the tune asks for the how manyth voicing of a chord, that is found once on the best path, as
 * in a file, and the chords before it lead there.
 */
function createPlan(
  count: number,
  listAt: ListAt,
  rankAt: (place: number) => number | undefined,
): Plan {
  const free = createCostAhead(count, listAt);
  const isRanked = Array.from({ length: count }, (_, place) => rankAt(place)).some(
    (rank) => rank !== undefined,
  );
  if (!isRanked) return free;
  const pins = new Map<number, { readonly list: Candidates; readonly index: number }>();
  let walked = 0;
  let last: Voicing | undefined;
  let around: CostAhead | undefined;
  let isAroundKnown = false;

  const walk = (place: number): void => {
    const list = listAt(place);
    if (list === undefined || list.voicings.length === 0) return;
    const rank = rankAt(place);
    const index = rank === undefined ? undefined : free.choose(place, list, last, rank);
    if (index !== undefined) pins.set(place, { list, index });
    last = list.voicings[free.choose(place, list, last) ?? -1] ?? last;
  };
  const pinnedAt: ListAt = (place) => {
    const list = listAt(place);
    const pin = pins.get(place);
    return pin === undefined || pin.list !== list ? list : alone(list, pin.index);
  };

  return {
    choose(place, list, before, rank) {
      const pin = pins.get(place);
      if (pin?.list === list) return pin.index;
      const found = isAroundKnown ? around?.choose(place, list, before) : undefined;
      return found ?? free.choose(place, list, before, rank);
    },
    prepare() {
      if (free.prepare()) return true;
      if (walked < count) {
        walk(walked);
        walked += 1;
        return true;
      }
      around ??= createCostAhead(count, pinnedAt);
      isAroundKnown = !around.prepare();
      return !isAroundKnown;
    },
  };
}

export function createTunePlan(tune: TuneOnStage, listFor: ListFor): TunePlan {
  let course: TuneCourse | undefined;
  let ahead: Plan | undefined;
  /** Where the last choice was made. */
  let before: number | undefined;

  /** Of the tune that is on the stage now. */
  const current = (): Plan | undefined => {
    const now = tune.course();
    if (now === course) return ahead;
    course = now;
    before = undefined;
    ahead =
      now &&
      createPlan(
        now.count,
        (place) => {
          const chord = now.chordAt(place);
          return chord && listFor(chord, now.leadAt(place), now.chosenAt(place), place);
        },
        (place) => {
          const which = now.chosenAt(place)?.voicing;
          return typeof which === 'number' ? which : undefined;
        },
      );
    return ahead;
  };

  return {
    choose(list, last, rank) {
      const place = tune.surePlace();
      const plan = current();
      if (place === undefined || plan === undefined) return undefined;
      // The same chord again is the same voicing again.
      const again = place === before && last !== undefined ? list.voicings.indexOf(last) : -1;
      before = place;
      return again >= 0 ? again : plan.choose(place, list, last, rank);
    },
    prepare: () => current()?.prepare() ?? false,
  };
}
