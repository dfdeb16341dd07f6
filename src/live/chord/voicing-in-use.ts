/** The preset as one hand's chords obey it: its voicer, and how it is played, latched or not. */
import { type Playing, playingOf } from '../../presets/playing.ts';
import type { Setup } from '../engine-api.ts';
import type { FileKnowledge } from '../file-knowledge.ts';
import type { TuneOnStage } from '../tune/tune-on-stage.ts';
import { createVoicer } from '../voicing/voicer.ts';
import type { Voicer } from '../voicing/voicer-api.ts';

export type VoicingInUse = {
  readonly voicer: () => Voicer;
  readonly playing: () => Playing;
  /** The preset keeps the player's own top note: it is the lead, and no line apart. */
  readonly isLeadKept: () => boolean;
  /** Another setup. True where a chord may sound otherwise by it. */
  readonly use: (setup: Setup) => boolean;
  /** By the player, whatever the preset says; undefined: as it says. */
  readonly latch: (isLatched: boolean | undefined) => void;
};

/** What decides how a chord sounds once it has been read, as a text to compare. */
function voicingPart({ preset, upper, bass }: Setup): string {
  return JSON.stringify([preset, upper, bass]);
}

export function createVoicingInUse(
  first: Setup,
  known: FileKnowledge | undefined,
  tune: TuneOnStage,
): VoicingInUse {
  let voicer = createVoicer(first, undefined, known, tune);
  let playing = playingOf(first.preset);
  let latched: boolean | undefined;
  return {
    voicer: () => voicer,
    playing: () => playing,
    isLeadKept: () => voicer.setup.preset.lead === 'as-played',
    use(setup) {
      const isOtherVoicing = voicingPart(setup) !== voicingPart(voicer.setup);
      voicer = createVoicer(setup, voicer.heard(), known, tune);
      playing = playingOf(setup.preset);
      if (latched !== undefined) playing = { ...playing, latch: latched };
      return isOtherVoicing;
    },
    latch(isLatched) {
      latched = isLatched;
      playing = { ...playing, latch: isLatched ?? playingOf(voicer.setup.preset).latch };
    },
  };
}
