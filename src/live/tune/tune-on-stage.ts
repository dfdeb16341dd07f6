/**
 * The tune that is played: where the player is in it, and what is written there as a reading of the
 * keys that are held. Where they are part of the written chord, or enrich it, it is that chord; where
 * they contradict it, or the place is not sure, nothing is said, and the ear decides as without a tune.
 */
import type { Chord } from '../../harmony/chord/chord.ts';
import type { Key } from '../../harmony/key/key.ts';
import { type Degree, semitonesOf } from '../../harmony/pitch/degree.ts';
import { type PitchClassSet, setOfNotes, sizeOf } from '../../harmony/pitch/pitch-class-set.ts';
import type { Message } from '../../midi/message.ts';
import type { ChosenForChord } from '../../presets/chosen.ts';
import type { Preset } from '../../presets/preset.ts';
import { createFollower, type Follower, type TunePlace } from '../../tune/follower.ts';
import type { Held } from '../../tune/likeness.ts';
import { movedTo, type PlaceMove } from '../../tune/moved-place.ts';
import type { StageTune, Tune, TuneChord, TuneReading } from '../../tune/tune.ts';
import type { Snapshot } from '../snapshot.ts';
import { chordAt } from './tune-by-clock.ts';
import { type WrittenKeys, writtenKeysOf } from './written-keys.ts';
import { createWrittenPresets } from './written-presets.ts';

/** Where a chord was played, for views. */
export type PlaceNoted = {
  readonly at: Pick<TuneChord, 'bar' | 'beat' | 'symbol' | 'section' | 'opensSection'>;
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
  /** The first chord of the tune that is written by the same sign; itself where it is not repeated. */
  readonly firstOf: (place: number) => number;
  /** What is chosen for that chord alone. */
  readonly chosenAt: (place: number) => ChosenForChord | undefined;
};

export type TurnPreset = (preset: Preset, at: number, out: Message[]) => void;

export type TuneOnStage = {
  /** Another tune, or none. */
  readonly use: (stage: StageTune | undefined, at: number) => void;
  /** The next chord is expected there. */
  readonly set: (chord: number) => void;
  /** A tune is on the stage. */
  readonly isThere: () => boolean;
  /** The place is moved; false: there is none to move to. */
  readonly move: (move: PlaceMove) => boolean;
  /** A song was put to this position, in quarter notes: the next chord is the one there. */
  readonly songAt: (position: number) => boolean;
  /**
   * A chord of these notes is played: the place goes on. The chord that is written there, when they
   * agree with it; undefined: it is as it is heard.
   */
  readonly hear: (
    notes: readonly number[],
    at: number,
    isCorrection: boolean,
    out: Message[],
  ) => Chord | undefined;
  /** The song is at this place by a clock, in quarter notes; true where that is another chord. */
  readonly clockAt: (position: number, at: number) => boolean;
  /** No clock runs: the player says where the tune is. */
  readonly clockStopped: () => void;
  /** Takes the presets that the tune writes, each before its chord is voiced. */
  readonly onPreset: (turn: TurnPreset) => void;
  /**
   * The player asks for the next chord as it is written, or for the one of now: its notes, as a hand
   * may hold them, and the place goes there with them. Undefined: there is none.
   */
  readonly step: (to: 'next' | 'again') => readonly number[] | undefined;
  /** Two notes that are the chord that comes next. */
  readonly isShell: (notes: readonly number[], at: number) => boolean;
  /** Notes beside a chord that was read as written leave it what it is. */
  readonly stays: (chord: Chord, notes: readonly number[]) => boolean;
  readonly noted: () => PlaceNoted | undefined;
  readonly course: () => TuneCourse | undefined;
  /** Where the last chord was played, while that is sure. */
  readonly surePlace: () => number | undefined;
  /** The key at a chord of the tune, or at the last one; `set`: the one that is set. */
  readonly keyAt: (set: Key | undefined, chord?: number) => Key | undefined;
  /** What is written for the last chord, while its place is sure. */
  readonly asked: () => Pick<TuneChord, 'lead' | 'chosen'> | undefined;
  readonly shown: () => Snapshot['tune'];
};

/** Below these the place, or what is written there, is not sure. */
const leastShare = 0.5;
const leastSymbolShare = 0.6;

function heldOf(notes: readonly number[]): Held {
  return { set: setOfNotes(notes), lowest: Math.min(...notes) % 12 };
}

/** C4: the root of a chord that is held for the player stands in the octave from here. */
const lowestRoot = 60;

/** A plain chord in root position: what stands for its root, third, fifth and seventh. */
function handOf({ root, type }: Chord): readonly number[] {
  const { degrees, guideTones } = type;
  const isPlain = (degree: Degree): boolean =>
    guideTones.includes(degree) || !/^[b#]?(?:9|11|13)$/.test(degree);
  return degrees
    .filter(isPlain)
    .slice(0, 4)
    .map((degree) => lowestRoot + root + (semitonesOf(degree) % 12))
    .sort((one, other) => one - other);
}

/** The chord of a changed tune that stands where this one stood, or last before that. */
function nearest(tune: Tune | undefined, { bar, beat }: TuneChord): number {
  const isBefore = (each: TuneChord): boolean =>
    each.bar < bar || (each.bar === bar && each.beat <= beat);
  const found = tune?.chords.findLastIndex((each) => each.symbol !== '' && isBefore(each)) ?? -1;
  return Math.max(0, found);
}

type Following = {
  readonly follower: Follower;
  readonly reading: TuneReading;
  readonly keys: WrittenKeys;
};

function followingOf({ tune, reading }: StageTune): Following {
  return { follower: createFollower(tune), reading, keys: writtenKeysOf(tune) };
}

function keyOf(
  following: Following | undefined,
  chord: number | undefined,
  set: Key | undefined,
): Key | undefined {
  return following === undefined ? set : following.keys.keyAt(chord, set);
}

/** As it is voiced: what is written there, and no more where that was asked for. */
function readAt({ follower, reading }: Following, place: number): Chord | undefined {
  const chord = follower.written(place)?.chord;
  if (chord?.written === undefined) return chord;
  const isAll = reading === 'as-written';
  // A bass behind a slash is meant.
  const isBassApart = chord.written.symbol.bass !== undefined;
  return {
    ...chord,
    written: { ...chord.written, ...(isAll && { isAll }) },
    ...(isBassApart && { isBassApart }),
  };
}

/** What is written at a place, if the notes are of it. */
function writtenAt(
  following: Following,
  place: TunePlace | undefined,
  set: PitchClassSet,
): Chord | undefined {
  if (place === undefined || place.symbolShare < leastSymbolShare) return undefined;
  const isAgreed = following.follower.written(place.chord)?.agrees(set) === true;
  if (!isAgreed || following.reading === 'as-played') return undefined;
  return readAt(following, place.chord);
}

function courseOf({ tune }: StageTune, following: Following): TuneCourse {
  return {
    count: tune.chords.length,
    chordAt: (place) => readAt(following, place),
    leadAt: (place) => tune.chords[place]?.lead,
    firstOf: (place) => tune.chords[place]?.repeats ?? place,
    chosenAt: (place) => tune.chords[place]?.chosen,
  };
}

/** Where the player asks to go; undefined: nowhere. */
function asked(follower: Follower, to: 'next' | 'again'): number | undefined {
  const place = follower.place();
  if (place === undefined) return undefined;
  return place.isPlayed && to === 'next' ? follower.following(place.chord) : place.chord;
}

function notedAt(
  stage: StageTune | undefined,
  here: TunePlace | undefined,
): PlaceNoted | undefined {
  const at = here && stage?.tune.chords[here.chord];
  if (here === undefined || at === undefined) return undefined;
  return { at, chorus: here.chorus, isUnsure: here.share < leastShare };
}

function sureAt(here: TunePlace | undefined): number | undefined {
  return here?.isPlayed === true && here.share >= leastShare ? here.chord : undefined;
}

function shownAt(here: TunePlace | undefined): Snapshot['tune'] {
  if (here === undefined) return undefined;
  const { chord, chorus, share, isPlayed } = here;
  return { chord, chorus, isUnsure: share < leastShare, isPlayed };
}

function movedFrom(
  stage: StageTune | undefined,
  here: TunePlace | undefined,
  move: PlaceMove,
): number | undefined {
  return stage && here && movedTo(stage.tune, here, move);
}

/** Where the clock says the place, it goes on to do so. */
function putTo(stage: StageTune | undefined, position: number): number | undefined {
  if (stage === undefined || stage.follow === 'clock') return undefined;
  return chordAt(stage.tune, position)?.chord;
}

/** The next chord is expected there; false: nowhere. */
function isSet(following: Following | undefined, chord: number | undefined): boolean {
  if (chord === undefined) return false;
  following?.follower.set(chord);
  return true;
}

export function createTuneOnStage(): TuneOnStage {
  let stage: StageTune | undefined;
  let following: Following | undefined;
  let course: TuneCourse | undefined;
  let turnPreset: TurnPreset = () => {};
  /** A clock runs and says where the tune is. */
  let isByClock = false;
  const writtenPresets = createWrittenPresets();
  const place = (): TunePlace | undefined => following?.follower.place();

  return {
    use(next, at) {
      const before = next?.continues === true ? place() : undefined;
      const played = before && stage?.tune.chords[before.chord];
      stage = next;
      following = next && followingOf(next);
      course = next && following && courseOf(next, following);
      isByClock = false;
      if (before === undefined || played === undefined) writtenPresets.forget();
      else following?.follower.goOn(nearest(next?.tune, played), before, at);
    },
    set: (chord) => following?.follower.set(chord),
    isThere: () => stage !== undefined,
    move: (move) => isSet(following, movedFrom(stage, place(), move)),
    songAt: (position) => isSet(following, putTo(stage, position)),
    hear(notes, at, isCorrection, out) {
      if (following === undefined) return undefined;
      const held = heldOf(notes);
      const { follower } = following;
      const here = isByClock ? follower.place() : follower.hear(held, at, isCorrection);
      const preset = here && writtenPresets.turnTo(stage, here, isCorrection);
      if (preset !== undefined) turnPreset(preset, at, out);
      return writtenAt(following, here, held.set);
    },
    clockAt(position, at) {
      const to = stage?.follow === 'clock' ? chordAt(stage.tune, position) : undefined;
      isByClock = to !== undefined;
      const before = place();
      if (to === undefined || following === undefined) return false;
      following.follower.put(to.chord, to.chorus, at);
      return before?.chord !== to.chord || before.chorus !== to.chorus;
    },
    clockStopped() {
      isByClock = false;
    },
    onPreset(turn) {
      turnPreset = turn;
    },
    step(to) {
      const chord = following && asked(following.follower, to);
      const written = chord === undefined ? undefined : following?.follower.written(chord)?.chord;
      if (chord === undefined || written === undefined) return undefined;
      following?.follower.set(chord);
      return handOf(written);
    },
    isShell(notes, at) {
      const held = heldOf(notes);
      if (following === undefined || sizeOf(held.set) !== 2) return false;
      return writtenAt(following, following.follower.look(held, at), held.set) !== undefined;
    },
    stays: ({ written }, notes) =>
      written !== undefined &&
      following !== undefined &&
      writtenAt(following, place(), setOfNotes(notes))?.written?.symbol === written.symbol,
    noted: () => notedAt(stage, place()),
    course: () => course,
    surePlace: () => sureAt(place()),
    keyAt: (set, chord) => keyOf(following, chord ?? sureAt(place()), set),
    asked: () => stage?.tune.chords[sureAt(place()) ?? -1],
    shown: () => shownAt(place()),
  };
}
