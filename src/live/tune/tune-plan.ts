/**
 * The voicings of the tune on the stage, planned along the best path to its end in the pauses of the
 * playing. Where the plan has nothing to say of a chord, the choice is the one without a tune.
 */
import type { Chord } from '../../harmony/chord/chord.ts';
import type { ChosenForChord } from '../../presets/chosen.ts';
import type { Candidates } from '../../voicing/choose.ts';
import { type CostAhead, createCostAhead } from '../../voicing/cost-ahead.ts';
import { alone, rankedPlace } from '../../voicing/ranked.ts';
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

/**
 * How much is planned: every chord; only which voicing 'the third best' of a chord is, where the top is
 * that of the hand; or nothing, where each voicing follows from the one before.
 */
export type Planning = 'whole' | 'numbered' | 'nothing';

export type TunePlan = {
  /** The place in the list; undefined: as without a tune. */
  readonly choose: (list: Candidates, last: Voicing | undefined) => number | undefined;
  /**
   * The place of the how manyth best, from 1: what is written once is the same voicing in every pass.
   * -1 for an empty list.
   */
  readonly chooseNumbered: (list: Candidates, last: Voicing | undefined, number: number) => number;
  /** What going on from each voicing of the list costs, and where that is; undefined: nobody knows. */
  readonly ahead: (list: Candidates) => AheadHere | undefined;
  /** Plans a little more; false: all is planned. */
  readonly prepare: () => boolean;
};

export type AheadHere = { readonly place: number; readonly costs: Float64Array };

type Plan = Pick<CostAhead, 'prepare' | 'costs'> & {
  readonly choose: (
    place: number,
    list: Candidates,
    last: Voicing | undefined,
  ) => number | undefined;
  /** Undefined while that is not known. */
  readonly numbered: (place: number, list: Candidates) => number | undefined;
};
type ListAt = (place: number) => Candidates | undefined;

const unnumbered = (): undefined => undefined;

/**
 * Where the tune asks for the how manyth voicing of a chord, that is found once on the best path, as
 * in a file, where the chord is played first, and all chords lead there and on from there.
 */
function createPlan(
  { count, firstOf }: TuneCourse,
  listAt: ListAt,
  numberAt: (place: number) => number | undefined,
): Plan {
  const free = createCostAhead(count, listAt);
  if (!isNumbered(count, numberAt)) return { ...free, numbered: unnumbered };
  const pins = new Map<number, { readonly list: Candidates; readonly index: number }>();
  let walked = 0;
  let last: Voicing | undefined;
  let around: CostAhead | undefined;
  let isAroundKnown = false;

  const walk = (place: number): void => {
    const list = listAt(place);
    if (list === undefined || list.voicings.length === 0) return;
    const number = numberAt(place);
    const known = pins.get(firstOf(place));
    const index = known?.list === list ? known.index : number && indexOf(place, list, number);
    if (index !== undefined) pins.set(place, { list, index });
    last = list.voicings[free.choose(place, list, last) ?? -1] ?? last;
  };
  const indexOf = (place: number, list: Candidates, number: number): number | undefined => {
    const order = free.order(place, list, last) ?? [];
    return order[number - 1] ?? order.at(-1);
  };
  const pinnedAt: ListAt = (place) => {
    const list = listAt(place);
    const pin = pins.get(place);
    return pin === undefined || pin.list !== list ? list : alone(list, pin.index);
  };

  return {
    choose: (place, list, before) =>
      (isAroundKnown ? around?.choose(place, list, before) : undefined) ??
      free.choose(place, list, before),
    costs: (place, list) =>
      (isAroundKnown ? around?.costs(place, list) : undefined) ?? free.costs(place, list),
    numbered(place, list) {
      const pin = pins.get(place);
      return pin?.list === list ? pin.index : undefined;
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

function isNumbered(count: number, numberAt: (place: number) => number | undefined): boolean {
  for (let place = 0; place < count; place += 1) if (numberAt(place) !== undefined) return true;
  return false;
}

function numberIn({ chosenAt }: TuneCourse): (place: number) => number | undefined {
  return (place) => {
    const which = chosenAt(place)?.voicing;
    return typeof which === 'number' ? which : undefined;
  };
}

function planOf(course: TuneCourse, listFor: ListFor, planning: Planning): Plan | undefined {
  const numberAt = numberIn(course);
  if (planning === 'nothing') return undefined;
  if (planning === 'numbered' && !isNumbered(course.count, numberAt)) return undefined;
  const listAt: ListAt = (place) => {
    const chord = course.chordAt(place);
    return chord && listFor(chord, course.leadAt(place), course.chosenAt(place), place);
  };
  return createPlan(course, listAt, numberAt);
}

export function createTunePlan(tune: TuneOnStage, listFor: ListFor, planning: Planning): TunePlan {
  let course: TuneCourse | undefined;
  let plan: Plan | undefined;
  /** Where the last choice was made. */
  let before: number | undefined;
  /** Of numbered chords, by where they are played first, what sounded where nothing is planned. */
  const sounded = new Map<number, Voicing>();

  /** Of the tune that is on the stage now. */
  const current = (): Plan | undefined => {
    const now = tune.course();
    if (now === course) return plan;
    course = now;
    before = undefined;
    sounded.clear();
    plan = now && planOf(now, listFor, planning);
    return plan;
  };

  /** The same chord again is the same voicing again. */
  const again = (place: number, { voicings }: Candidates, last: Voicing | undefined): number => {
    const isAgain = place === before && last !== undefined;
    before = place;
    return isAgain ? voicings.indexOf(last) : -1;
  };

  return {
    choose(list, last) {
      const place = tune.surePlace();
      const own = current();
      if (place === undefined || own === undefined || planning !== 'whole') return undefined;
      const same = again(place, list, last);
      return same >= 0 ? same : own.choose(place, list, last);
    },
    chooseNumbered(list, last, number) {
      const place = tune.surePlace();
      const own = current();
      const first = place === undefined ? undefined : course?.firstOf(place);
      const planned = place === undefined ? undefined : own?.numbered(place, list);
      before = place;
      if (planned !== undefined) return planned;
      const earlier = sounded.get(first ?? -1);
      const known = earlier === undefined ? -1 : list.voicings.indexOf(earlier);
      if (known >= 0) return known;
      const index = rankedPlace(list, last, number) ?? -1;
      const voicing = list.voicings[index];
      if (first !== undefined && voicing !== undefined) sounded.set(first, voicing);
      return index;
    },
    ahead(list) {
      const place = tune.surePlace();
      const costs = place === undefined ? undefined : current()?.costs(place, list);
      return place === undefined || costs === undefined ? undefined : { place, costs };
    },
    prepare: () => current()?.prepare() ?? false,
  };
}
