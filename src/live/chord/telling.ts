/** What views are told of a hand's chords: values only, which become text away from the hot path. */
import { setOfNotes, sizeOf } from '../../harmony/pitch/pitch-class-set.ts';
import type { Kept } from '../../voicing/kept.ts';
import { fewestPitchClasses } from '../hands/hand.ts';
import type { HeldKey } from '../hands/held-keys.ts';
import { notesOf } from '../hands/parts.ts';
import { statedBy } from '../stated-chord.ts';
import type { Voicer } from '../voicing/voicer-api.ts';
import type { ChordSurroundings } from './chord-player-api.ts';
import type { SoundingChord } from './sounding-chord.ts';

/** What there is to say of a chord besides what sounds. */
export type ToldWith = {
  readonly isCorrection?: boolean;
  readonly isRevoiced?: boolean;
  readonly isUnheard?: boolean;
  readonly kept?: Kept;
};

type Bass = { readonly note: number; readonly velocity: number };

export type Telling = {
  /** `bass`: the one that the player holds apart. */
  readonly chord: (
    chord: SoundingChord,
    at: number,
    bass: Bass | undefined,
    besides: ToldWith,
  ) => void;
  /** These keys pass through; enough of them for a chord. */
  readonly passed: (keys: readonly HeldKey[], at: number) => void;
};

export function createTelling(
  voicer: () => Voicer,
  { log, neighboursOf, tune }: ChordSurroundings,
): Telling {
  return {
    chord({ touch, voices, voiced }, at, bass, besides) {
      const { isCorrection = false, isRevoiced = false, isUnheard = false, kept } = besides;
      const heard = touch.map((key) => key.note);
      const velocities = voices.map((voice) => voice.velocity);
      const isOwnBass = bass !== undefined && voiced.voicing.bass === bass.note;
      const beside = neighboursOf(touch).beside?.filter(({ note }) => note !== bass?.note);
      const noted = {
        atMicroseconds: at,
        heard: bass === undefined ? heard : [bass.note, ...heard],
        bassHeld: bass?.note,
        beside,
        voiced,
        velocities: isOwnBass ? [bass.velocity, ...velocities] : velocities,
        key: voicer().key,
        preset: voicer().setup.preset.id,
        place: tune.noted(),
        isRevoiced,
        isUnheard,
        kept,
      };
      log.note(noted, isCorrection);
    },
    passed(keys, at) {
      const stated = statedBy(keys);
      // Mostly a note of a melody.
      if (stated === undefined && keys.length < fewestPitchClasses) return;
      const heard = notesOf(keys);
      if (stated === undefined && sizeOf(setOfNotes(heard)) < fewestPitchClasses) return;
      const { key, setup, read, canVoice } = voicer();
      const velocities = keys.map((each) => each.velocity);
      const chord = stated ?? read(heard);
      // A chord that could be voiced is on its way to be.
      if (chord !== undefined && canVoice(chord)) return;
      const noted = { atMicroseconds: at, heard, voiced: undefined, velocities, key };
      log.note({ ...noted, ...(chord && { chord }), preset: setup.preset.id }, false);
    },
  };
}
