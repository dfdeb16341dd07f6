/**
 * From a chord to the voicing the setup asks for, led from the one before. Everything that does
 * not depend on what sounded last (palettes, candidate lists) is made once per chord and kept.
 */
import type { Key } from '../harmony/key.ts';
import { createGrower, type Grower, type Harmony } from '../harmony/palette.ts';
import { setOfNotes, sizeOf } from '../harmony/pitch-class-set.ts';
import { type Chord, recognise } from '../harmony/recognise.ts';
import { frameOf, obeyingBass } from '../presets/frame.ts';
import { type Candidates, type Chosen, candidates, chosenAt } from '../voicing/choose.ts';
import { createForesight } from '../voicing/foresight.ts';
import { planed, relaxedInParallel } from '../voicing/planing.ts';
import type { Frame, Voicing } from '../voicing/voicing.ts';
import { createEar, type Ear } from './ear.ts';
import type { Setup } from './engine-api.ts';
import type { Foreknowledge } from './foreknowledge.ts';
import { fewestPitchClasses } from './hand.ts';
import { likelyChords } from './likely-chords.ts';
import { pinFor, pinnedChord } from './pins.ts';

export type Voiced = Chosen & { readonly harmony: Harmony };

export type Voicer = {
  readonly setup: Setup;
  /** Set by the player or followed; it may change with every chord. */
  readonly key: Key | undefined;
  readonly isKeyFollowed: boolean;
  readonly frame: Frame;
  /** What was heard, for a voicer of another setup to begin with. */
  readonly heard: Ear['heard'];
  /** The chord of these notes, or undefined when they should pass through as played. */
  readonly read: (notes: readonly number[]) => Chord | undefined;
  readonly canVoice: (chord: Chord) => boolean;
  /** Makes and keeps what one more of the likeliest chords will be chosen from; false: none is left. */
  readonly prepare: () => boolean;
  /**
   * The next voicing after `last`; undefined when the chord has none in this setup. `lead` is the
   * player's top note, for presets that keep it.
   */
  readonly voice: (chord: Chord, last: Voicing | undefined, lead?: number) => Voiced | undefined;
};

/** A lowest key below E3, and further below the next than a fifth: common practice, no source. */
const highestBass = 51;
const leastGap = 8;

/** True where the lowest note is no part of the hand above it. */
function isBassApart(notes: readonly number[]): boolean {
  const lowest = Math.min(...notes);
  return (
    lowest <= highestBass && notes.every((note) => note === lowest || note - lowest >= leastGap)
  );
}

/** The list depends on the bass only where the bass is part of what is voiced. */
function bassSlot(chord: Chord, frame: Frame): number {
  const isVoiced = chord.reading.bassRole === 'foreign' || frame.bass.policy === 'as-played';
  return isVoiced ? chord.bass + 1 : 0;
}

/** Everything that depends on the key: made once for each key that is met. */
type Place = {
  readonly key: Key | undefined;
  readonly frame: Frame;
  readonly grow: Grower;
  readonly kept: Map<number, Candidates>;
};

function createPlaces(setup: Setup): (key: Key | undefined) => Place {
  const { growth, family = {} } = setup.preset;
  const known = new Map<Key | undefined, Place>();
  return (key) => {
    const before = known.get(key);
    if (before !== undefined) return before;
    const frame = frameOf(setup.preset, setup, key);
    const place = { key, frame, grow: createGrower(key, growth, family), kept: new Map() };
    known.set(key, place);
    return place;
  };
}

/** `from`: what a voicer before this one has heard. */
export function createVoicer(
  setup: Setup,
  from?: ReturnType<Ear['heard']>,
  { foresight = createForesight(), leadSheet }: Foreknowledge = {},
): Voicer {
  const { strategy, parallel } = setup.preset;
  const isLeadKept = setup.preset.lead === 'as-played';
  const ear = createEar(setup.key, from);
  const placeIn = createPlaces(setup);
  const here = (): Place => placeIn(ear.key());

  const candidatesFor = (harmony: Harmony, under: Frame, kept: Place['kept']): Candidates => {
    const { chord, palette } = harmony;
    const slot =
      ((palette.id * 12 + chord.root) * 13 + bassSlot(chord, under)) * 129 + (under.lead ?? 128);
    const known = kept.get(slot);
    if (known !== undefined) return known;
    const found = candidates(strategy, harmony, under);
    kept.set(slot, found);
    return found;
  };

  const frameFor = ({ written, bass, isBassApart }: Chord, frame: Frame): Frame => {
    const isWritten = leadSheet?.areBassesMeant === true && written?.symbol.bass !== undefined;
    const isMeant = isWritten || isBassApart === true;
    return isMeant ? obeyingBass(frame, setup.preset, bass) : frame;
  };

  const underLead = (lead: number | undefined, frame: Frame): Frame =>
    isLeadKept && lead !== undefined ? { ...frame, lead } : frame;

  const read = (notes: readonly number[]): Chord | undefined => {
    if (sizeOf(setOfNotes(notes)) < fewestPitchClasses) return undefined;
    const pin = setup.pins === undefined ? undefined : pinFor(notes, setup.pins);
    const pinned = pin && pinnedChord(pin);
    const written = pinned === undefined ? leadSheet?.chordOf(notes) : undefined;
    if (written !== undefined) return written;
    const heard = pinned ?? recognise(notes, ear.contextFor(Math.min(...notes)));
    const isTold = heard !== undefined && heard.bass !== heard.root && isBassApart(notes);
    return isTold ? { ...heard, isBassApart: true } : heard;
  };

  /** How many of the likeliest chords have been. */
  let prepared = 0;

  return {
    setup,
    get key() {
      return ear.key();
    },
    isKeyFollowed: ear.isFollowing,
    get frame() {
      return here().frame;
    },
    heard: ear.heard,
    read,
    canVoice(chord) {
      const { grow, frame, kept } = here();
      return candidatesFor(grow(chord), frameFor(chord, frame), kept).voicings.length > 0;
    },
    prepare() {
      const notes = likelyChords[prepared];
      if (notes === undefined) return false;
      prepared += 1;
      const chord = read(notes);
      const { grow, frame, kept } = here();
      if (chord !== undefined) {
        candidatesFor(grow(chord), underLead(Math.max(...notes), frame), kept);
      }
      return prepared < likelyChords.length;
    },
    voice(chord, last, lead) {
      ear.hear(chord);
      const { key, grow, frame, kept } = here();
      const harmony = grow(chord);
      const under = underLead(lead, frameFor(chord, frame));
      const list = candidatesFor(harmony, under, kept);
      if (parallel !== undefined && last !== undefined) {
        const voicing = planed(last, harmony, frame, parallel, key);
        return { voicing, relaxed: relaxedInParallel(voicing, harmony, frame), harmony };
      }
      const chosen = chosenAt(foresight.choose(list, last), list, harmony, under);
      return chosen === undefined ? undefined : { ...chosen, harmony };
    },
  };
}
