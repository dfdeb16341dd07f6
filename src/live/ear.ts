/**
 * What has been heard so far and bears on the next chord: the key, set by the player or followed,
 * and the chord before. A chord that only grows (a late note joins it) is one event, not two.
 */

import { type Key, parseKey } from '../harmony/key/key.ts';
import {
  followKey,
  hearChord,
  type KeyEstimate,
  nothingHeard,
  withoutSetKey,
  withSetKey,
} from '../harmony/key/key-follower.ts';
import { hasOwnBass } from '../harmony/naming/own-bass.ts';
import { type PitchClassSet, transpose } from '../harmony/pitch/pitch-class-set.ts';
import type { Context } from '../harmony/recognition/context.ts';
import type { Chord } from '../harmony/recognition/recognise.ts';

/** In place of a key's name: the key is taken from what is played. */
export const followedKey = 'follow';

export type Heard = {
  readonly estimate: KeyEstimate;
  readonly chord: Chord | undefined;
  readonly sounding: PitchClassSet;
};

export type Ear = {
  readonly isFollowing: boolean;
  readonly key: () => Key | undefined;
  /** That which holds at a chord of a tune. */
  readonly keyAt: (chord: number) => Key | undefined;
  /** For a grip by its lowest and highest note; `isCorrection`: read once more, in place of the last. */
  readonly contextFor: (lowest: number, highest: number, isCorrection?: boolean) => Context;
  /** A chord was read and will sound; `isCorrection`: in place of the last. */
  readonly hear: (chord: Chord, isCorrection?: boolean) => void;
  /** To begin another ear with. */
  readonly heard: () => { readonly before: Heard; readonly now: Heard };
};

const silence: Heard = { estimate: nothingHeard, chord: undefined, sounding: 0 };

/** The tones the player holds, as the reading has them. */
function soundingOf({ reading, type, root, bass }: Chord): PitchClassSet {
  let own = 0;
  for (const degree of type.degrees) {
    if (!reading.omitted.includes(degree)) own |= 1 << type.degreeAt.indexOf(degree);
  }
  return transpose(own, root) | (1 << bass);
}

function setKey(name: string | undefined): Key | undefined {
  if (name === undefined || name === followedKey) return undefined;
  const parsed = parseKey(name);
  return parsed.ok ? parsed.value : undefined;
}

/** @param written where a tune turns to another key than the one that is set */
export function createEar(
  keyName: string | undefined,
  from?: ReturnType<Ear['heard']>,
  written: (set: Key | undefined, chord?: number) => Key | undefined = (set) => set,
): Ear {
  const fixed = setKey(keyName);
  const isFollowing = keyName === followedKey;
  // A key that was set stays where 'follow' begins until another one is clearly heard.
  const told = (heard: Heard): Heard => {
    if (isFollowing) return heard;
    const { estimate } = heard;
    const known = fixed === undefined ? withoutSetKey(estimate) : withSetKey(estimate, fixed);
    return { ...heard, estimate: known };
  };
  let before = from?.before ?? silence;
  let now = from?.now ?? silence;
  const keyAt = (chord?: number): Key | undefined =>
    isFollowing ? now.estimate.key : written(fixed, chord);
  const key = (): Key | undefined => keyAt();

  const contextAfter = ({ chord }: Heard, hasBass: boolean): Context => ({
    key: key(),
    previous: chord,
    hasBass,
  });
  /** Made once a chord: reading does not allocate. */
  let inHand = contextAfter(now, false);
  let overBass = contextAfter(now, true);
  /** A tune may have turned to another key since. */
  let keyOfContexts = key();
  const makeContexts = (): void => {
    keyOfContexts = key();
    inHand = contextAfter(now, false);
    overBass = contextAfter(now, true);
  };

  return {
    isFollowing,
    key,
    keyAt,
    contextFor(lowest, highest, isCorrection) {
      const hasBass = hasOwnBass(lowest, highest);
      if (isCorrection === true) return contextAfter(before, hasBass);
      if (key() !== keyOfContexts) makeContexts();
      return hasBass ? overBass : inHand;
    },
    hear(chord, isCorrection) {
      const sounding = soundingOf(chord);
      const isGrown = now.chord !== undefined && (now.sounding & ~sounding) === 0;
      if (!isGrown && isCorrection !== true) before = now;
      const hearing = fixed === undefined ? followKey : hearChord;
      const estimate = hearing(before.estimate, sounding, chord);
      now = { estimate, chord, sounding };
      makeContexts();
    },
    heard: () => ({ before: told(before), now: told(now) }),
  };
}
