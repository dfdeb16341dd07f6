/**
 * The tune that is played: where the player is in it, and what is written there as a reading of the
 * keys that are held. Where they are part of the written chord, or enrich it, it is that chord; where
 * they contradict it, or the place is not sure, nothing is said, and the ear decides as without a tune.
 */
import type { Chord } from '../harmony/chord/chord.ts';
import { setOfNotes, sizeOf } from '../harmony/pitch/pitch-class-set.ts';
import { createFollower, type Follower, type TunePlace } from '../tune/follower.ts';
import type { Held } from '../tune/likeness.ts';
import type { StageTune, TuneChord } from '../tune/tune.ts';
import type { Snapshot } from './snapshot.ts';

/** Where a chord was played, for views. */
export type PlaceNoted = {
  readonly at: Pick<TuneChord, 'bar' | 'beat' | 'symbol'>;
  readonly chorus: number;
  readonly isUnsure: boolean;
};

/** What is written, chord by chord; another object for another tune. */
export type TuneCourse = {
  readonly count: number;
  /** As it is read on the stage; undefined: silence. */
  readonly chordAt: (place: number) => Chord | undefined;
  /** The MIDI note that is to be its top. */
  readonly leadAt: (place: number) => number | undefined;
};

export type TuneOnStage = {
  /** Another tune, or none. */
  readonly use: (stage: StageTune | undefined) => void;
  /** The next chord is expected there. */
  readonly set: (chord: number) => void;
  /**
   * A chord of these notes is played: the place goes on. The chord that is written there, when they
   * agree with it; undefined: it is as it is heard.
   */
  readonly hear: (notes: readonly number[], at: number, isCorrection: boolean) => Chord | undefined;
  /** Two notes that are the chord that comes next. */
  readonly isShell: (notes: readonly number[], at: number) => boolean;
  /** Notes beside a chord that was read as written leave it what it is. */
  readonly stays: (chord: Chord, notes: readonly number[]) => boolean;
  readonly noted: () => PlaceNoted | undefined;
  readonly course: () => TuneCourse | undefined;
  /** Where the last chord was played, while that is sure. */
  readonly surePlace: () => number | undefined;
  readonly shown: () => Snapshot['tune'];
};

/** Below these the place, or what is written there, is not sure. */
const leastShare = 0.5;
const leastSymbolShare = 0.6;

function heldOf(notes: readonly number[]): Held {
  return { set: setOfNotes(notes), lowest: Math.min(...notes) % 12 };
}

export function createTuneOnStage(): TuneOnStage {
  let stage: StageTune | undefined;
  let follower: Follower | undefined;
  let course: TuneCourse | undefined;

  /** As it is voiced: what is written there, and no more where that was asked for. */
  const readAt = (place: number): Chord | undefined => {
    const chord = follower?.written(place)?.chord;
    if (chord?.written === undefined) return chord;
    const isAll = stage?.reading === 'as-written';
    // A bass behind a slash is meant.
    const isBassApart = chord.written.symbol.bass !== undefined;
    return {
      ...chord,
      written: { ...chord.written, ...(isAll && { isAll }) },
      ...(isBassApart && { isBassApart }),
    };
  };

  /** What is written at a place, if the notes are of it. */
  const writtenAt = (place: TunePlace | undefined, set: number): Chord | undefined => {
    if (place === undefined || place.symbolShare < leastSymbolShare) return undefined;
    const symbol = follower?.written(place.chord);
    if (symbol === undefined || !symbol.agrees(set) || stage?.reading === 'as-played') {
      return undefined;
    }
    return readAt(place.chord);
  };

  return {
    use(next) {
      stage = next;
      follower = next && createFollower(next.tune);
      course = next && {
        count: next.tune.chords.length,
        chordAt: readAt,
        leadAt: (place) => next.tune.chords[place]?.lead,
      };
    },
    set: (chord) => follower?.set(chord),
    hear(notes, at, isCorrection) {
      if (follower === undefined) return undefined;
      const held = heldOf(notes);
      return writtenAt(follower.hear(held, at, isCorrection), held.set);
    },
    isShell(notes, at) {
      const held = heldOf(notes);
      if (follower === undefined || sizeOf(held.set) !== 2) return false;
      return writtenAt(follower.look(held, at), held.set) !== undefined;
    },
    stays: ({ written }, notes) =>
      written !== undefined &&
      follower !== undefined &&
      writtenAt(follower.place(), setOfNotes(notes))?.written?.symbol === written.symbol,
    noted() {
      const place = follower?.place();
      const at = place && stage?.tune.chords[place.chord];
      if (place === undefined || at === undefined) return undefined;
      return { at, chorus: place.chorus, isUnsure: place.share < leastShare };
    },
    course: () => course,
    surePlace() {
      const place = follower?.place();
      return place?.isPlayed === true && place.share >= leastShare ? place.chord : undefined;
    },
    shown() {
      const place = follower?.place();
      if (place === undefined) return undefined;
      const { chord, chorus, share, isPlayed } = place;
      return { chord, chorus, isUnsure: share < leastShare, isPlayed };
    },
  };
}
