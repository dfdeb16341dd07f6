/**
 * The voicings of the tune on the stage, planned along the best path to its end in the pauses of the
 * playing. Where the plan has nothing to say of a chord, the choice is the one without a tune.
 */
import type { Chord } from '../../harmony/chord/chord.ts';
import type { ChosenForChord } from '../../presets/chosen.ts';
import type { Candidates } from '../../voicing/choose.ts';
import { type CostAhead, createCostAhead } from '../../voicing/cost-ahead.ts';
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

export function createTunePlan(tune: TuneOnStage, listFor: ListFor): TunePlan {
  let course: TuneCourse | undefined;
  let ahead: CostAhead | undefined;
  /** Where the last choice was made. */
  let before: number | undefined;

  /** Of the tune that is on the stage now. */
  const current = (): CostAhead | undefined => {
    const now = tune.course();
    if (now === course) return ahead;
    course = now;
    before = undefined;
    ahead =
      now &&
      createCostAhead(now.count, (place) => {
        const chord = now.chordAt(place);
        return chord && listFor(chord, now.leadAt(place), now.chosenAt(place), place);
      });
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
