/**
 * From a chord to the voicing the setup asks for, led from the one before. Everything that does
 * not depend on what sounded last (palettes, candidate lists) is made once per chord and kept.
 */
import { type Key, parseKey } from '../harmony/key.ts';
import { createGrower, type Harmony } from '../harmony/palette.ts';
import { type Chord, type Context, recognise } from '../harmony/recognise.ts';
import { type Candidates, type Chosen, candidates, cheapest } from '../voicing/choose.ts';
import type { Frame, Voicing } from '../voicing/voicing.ts';
import type { Setup } from './engine-api.ts';

export type Voiced = Chosen & { readonly harmony: Harmony };

export type Voicer = {
  readonly setup: Setup;
  readonly key: Key | undefined;
  readonly frame: Frame;
  /** The chord of these notes, or undefined when they should pass through as played. */
  readonly read: (notes: readonly number[]) => Chord | undefined;
  readonly canVoice: (chord: Chord) => boolean;
  /** The next voicing after `last`; undefined when the chord has none in this setup. */
  readonly voice: (chord: Chord, last: Voicing | undefined) => Voiced | undefined;
};

/** Fewer different pitch classes are melody, not a chord to voice. */
const fewestPitchClasses = 3;

function keyOf(setup: Setup): Key | undefined {
  if (setup.key === undefined) return undefined;
  const parsed = parseKey(setup.key);
  return parsed.ok ? parsed.value : undefined;
}

function frameOf({ preset, upper, bass }: Setup): Frame {
  return {
    upper: upper ?? preset.upper,
    bass: { policy: preset.bass.policy, ...(bass ?? preset.bass) },
    voices: preset.voices,
  };
}

export function createVoicer(setup: Setup): Voicer {
  const key = keyOf(setup);
  const frame = frameOf(setup);
  const { strategy, growth, family = {} } = setup.preset;
  const grow = createGrower(key, growth, family);
  const context: Context = key === undefined ? {} : { key };
  const kept = new Map<number, Candidates>();

  const candidatesFor = (harmony: Harmony): Candidates => {
    const { chord, palette } = harmony;
    // A foreign bass is part of what is voiced; any other bass is the preset's affair.
    const foreign = chord.reading.bassRole === 'foreign' ? chord.bass + 1 : 0;
    const slot = (palette.id * 12 + chord.root) * 13 + foreign;
    const known = kept.get(slot);
    if (known !== undefined) return known;
    const found = candidates(strategy, harmony, frame);
    kept.set(slot, found);
    return found;
  };

  return {
    setup,
    key,
    frame,
    read(notes) {
      if (new Set(notes.map((note) => note % 12)).size < fewestPitchClasses) return undefined;
      return recognise(notes, context);
    },
    canVoice: (chord) => candidatesFor(grow(chord)).voicings.length > 0,
    voice(chord, last) {
      const harmony = grow(chord);
      const chosen = cheapest(candidatesFor(harmony), last, harmony, frame);
      return chosen === undefined ? undefined : { ...chosen, harmony };
    },
  };
}
