/**
 * What the tune on the stage asks of a chord that is read as it is written there: a top note, a voicing
 * that was chosen for it, and its place on the best path to the end.
 */
import type { Chord } from '../../harmony/recognition/recognise.ts';
import { chosenAt } from '../../voicing/choose.ts';
import { rankedPlace } from '../../voicing/ranked.ts';
import type { Voicing } from '../../voicing/voicing.ts';
import { type ChosenList, createWrittenChoices } from '../choosing/written-choices.ts';
import type { Ear } from '../ear.ts';
import type { Setup } from '../engine-api.ts';
import type { TuneOnStage } from '../tune/tune-on-stage.ts';
import { createTunePlan, type ListFor, type TunePlan } from '../tune/tune-plan.ts';
import { belowMelody, type CandidateLists, underLead } from './candidate-lists.ts';
import type { Neighbours, Voiced } from './voicer-api.ts';

export type AskedByTune = {
  /** Undefined: there is no tune to plan. */
  readonly plan: TunePlan | undefined;
  /** The top note that is written, where the whole voicing is planned; a MIDI note number. */
  readonly leadFor: (chord: Chord) => number | undefined;
  /** The voicing that was chosen for it, where what else sounds leaves room for it. */
  readonly voiced: (
    chord: Chord,
    last: Voicing | undefined,
    neighbours: Neighbours,
  ) => Voiced | undefined;
};

/** Voicings led in parallel are not to be planned, nor those under the player's own top. */
function planningOf({ preset: { parallel, lead } }: Setup) {
  if (parallel !== undefined) return 'nothing';
  return lead === 'as-played' ? 'numbered' : 'whole';
}

export function createAskedByTune(
  setup: Setup,
  ear: Ear,
  { groundIn, frameFor, listFor }: CandidateLists,
  tune: TuneOnStage | undefined,
): AskedByTune {
  const writtenChoices = createWrittenChoices(setup);
  const planning = planningOf(setup);

  const listAsWritten: ListFor = (chord, lead, chosen, at) => {
    const key = ear.keyAt(at);
    if (chosen !== undefined) return writtenChoices(chord, chosen, lead, key).list;
    const ground = groundIn(key);
    const frame = underLead(lead, frameFor(chord, ground.frame));
    return listFor(ground.grow(chord), frame, ground, key);
  };
  const plan = tune && createTunePlan(tune, listAsWritten, planning);

  const asked = (chord: Chord): ReturnType<TuneOnStage['asked']> =>
    chord.written === undefined || chord.written.isStated === true ? undefined : tune?.asked();

  const listAsked = (chord: Chord, { bass, ceiling }: Neighbours): ChosenList | undefined => {
    const { chosen, lead } = asked(chord) ?? {};
    if (chosen === undefined || bass !== undefined) return undefined;
    const found = writtenChoices(chord, chosen, lead, ear.key());
    const isBeneath = ({ upper }: Voicing): boolean =>
      ceiling === undefined || (upper.at(-1) ?? 0) <= ceiling - belowMelody;
    const { voicings } = found.list;
    return voicings.length > 0 && voicings.every(isBeneath) ? found : undefined;
  };

  return {
    plan,
    leadFor: (chord) => (planning === 'whole' ? asked(chord)?.lead : undefined),
    voiced(chord, last, neighbours) {
      const found = listAsked(chord, neighbours);
      if (found === undefined) return undefined;
      const { list, harmony, frame } = found;
      const which = asked(chord)?.chosen?.voicing;
      const index =
        typeof which === 'number'
          ? plan?.chooseNumbered(list, last, which)
          : (plan?.choose(list, last) ?? rankedPlace(list, last, 1));
      const voiced = chosenAt(index ?? 0, list, harmony, frame);
      if (voiced === undefined) return undefined;
      // Just these notes were asked for: nothing is given up.
      return { ...voiced, ...(typeof which === 'object' && { relaxed: [] }), harmony };
    },
  };
}
