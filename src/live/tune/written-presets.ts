/**
 * The presets that a tune writes, as the player comes to them. The player's own switch holds until
 * the next one that is written, also where that is the same one in the next chorus.
 */
import type { Preset } from '../../presets/preset.ts';
import type { TunePlace } from '../../tune/follower.ts';
import type { StageTune } from '../../tune/tune.ts';

export type WrittenPresets = {
  /** The preset to turn to at this chord; undefined: as it is. */
  readonly turnTo: (
    stage: StageTune | undefined,
    place: TunePlace,
    isCorrection: boolean,
  ) => Preset | undefined;
  readonly forget: () => void;
};

/** As sure as for reading what is written. */
const leastShare = 0.5;

export function createWrittenPresets(): WrittenPresets {
  /** What was written last, and at which chord of which chorus. */
  let last: string | undefined;
  let before = '';

  return {
    turnTo(stage, { chord, chorus, share }, isCorrection) {
      const { preset: name, writesPreset = false } = stage?.tune.chords[chord] ?? {};
      if (name === undefined || share < leastShare) return undefined;
      const here = `${chorus} ${chord}`;
      const isReached = here !== before && !isCorrection;
      before = here;
      if (name === last && !(writesPreset && isReached)) return undefined;
      last = name;
      return stage?.presets?.find(({ id }) => id === name);
    },
    forget() {
      last = undefined;
      before = '';
    },
  };
}
