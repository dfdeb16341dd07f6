/**
 * Which of the keys now down are meant as one chord, and what the others are beside it. Knows keys,
 * times, the chord that sounds and whether a set of notes has a name; decides nothing about voicing.
 * The rules that tell single keys apart are in parts.ts.
 *
 * The keys of one stroke are read first: told apart by hands, without ornaments and strangers, and
 * over one old key left lying below them as their bass. When they are no chord by themselves and a
 * finger has left the old chord, or its place is taken, what stays of it and what is new are read
 * together. Anything else is a line or a bass over a held chord and passes through.
 */
import { thoseThat } from '../../common/those-that.ts';
import { without } from '../../common/without.ts';
import { type PitchClassSet, sizeOf } from '../../harmony/pitch/pitch-class-set.ts';
import type { HeldKey, Part } from './held-keys.ts';
import {
  graceAheadOf,
  handSpan,
  hasSemitone,
  isCluster,
  isCrushResolved,
  mayBeApart,
  mayBeBrushed,
  nearMicroseconds,
  notesOf,
  ornamentIn,
  pitchClassesOf,
  type Reading,
  rollOf,
  separate,
  strangerIn,
} from './parts.ts';

/** Fewer different pitch classes are melody, not a chord to voice. */
export const fewestPitchClasses = 3;

/** A single note below this (E3) is a bass, from it on a line. Common practice, no source. */
export const lowestLine = 52;

/** From the first key of a chord to a last one that comes late. Common practice, no source. */
const longestStroke = 2 * nearMicroseconds;

/** A finger that came up longer ago than this has left the chord for good. Common practice. */
const longestMove = 400_000;

export type Manner = 'strike' | 'join' | 'move';

/** The keys of a chord, and how they take the place of what sounds. */
export type ChordKeys = {
  readonly keys: readonly HeldKey[];
  /**
   * 'strike' strikes every voice; 'join' moves only the voices that differ; 'move' as well, and as
   * few of them as can be: one finger has moved.
   */
  readonly manner: Manner;
  /** Keys below that were struck with it. */
  readonly below: readonly HeldKey[];
  /** Fingers of the old chord have moved to it: one, or all that came up; absent: it is a new one. */
  readonly moved?: 'one' | 'all';
  /** Old keys that are taken to stay although all of them are still down. */
  readonly staying?: readonly HeldKey[];
};

/** What the hand left of the chord that sounds. */
export type StillSounding = {
  /** Its keys that are still down. */
  readonly keys: readonly HeldKey[];
  /** A key of it has come up since it was read. */
  readonly isLifted: boolean;
  /** When one last came up; absent: none has. */
  readonly liftedAt?: number | undefined;
  /** The keys it was read from, lifted or not. */
  readonly touch: readonly { readonly note: number }[];
  /** Their pitch classes. */
  readonly heard: PitchClassSet;
  readonly readAt: number;
};

export type Scene = {
  /** Waiting, passed through, resting, and those of the chord that sounds. */
  readonly down: readonly HeldKey[];
  readonly at: number;
  readonly left: StillSounding | undefined;
  /** How far apart the player's keys land, from first to last. */
  readonly spread: number;
  /** How many keys the player's chords have, and whether nearly all of them are plain ones. */
  readonly usualKeys: number;
  readonly isPlainUsual: boolean;
  /** The player's chords have now more keys, now fewer. */
  readonly isMixing: boolean;
  readonly reading: Reading;
  /** Whether keys are told apart, and whether a line above may be. */
  readonly isTold: boolean;
  readonly isLineTold: boolean;
  /** Keys from this note on are a line, whatever they make; absent: no such point. */
  readonly split?: number;
};

export type Placement = {
  /** Absent: what is new passes through. */
  readonly chord?: ChordKeys;
  /** Parts of keys that are not of the chord; those not named here are told by where they lie. */
  readonly parts?: ReadonlyMap<HeldKey, Part> | undefined;
  /** Nothing is likely to change it: it may be sent with the last of the expected keys. */
  readonly isSure: boolean;
  /** The chord that sounds turned out to be part of a cluster: it passes as played. */
  readonly isDissolved?: boolean;
};

/** No chord: what is new passes through. */
export const nothing: Placement = { isSure: true };

type Parts = Map<HeldKey, Part> | undefined;

/** These keys with that part besides the others; undefined: there is none that plays one. */
function withPart(parts: Parts, keys: readonly HeldKey[], part: Part): Parts {
  if (keys.length === 0) return parts;
  const all = parts ?? new Map<HeldKey, Part>();
  for (const key of keys) all.set(key, part);
  return all;
}

function isNew(key: HeldKey): boolean {
  return key.role === 'waiting' || key.role === 'through';
}

type Stroke = { readonly keys: readonly HeldKey[]; readonly isRoll: boolean };

/** The keys struck with the last one: together, or one by one as a slow roll. */
function strokeOf({ down, at }: Scene): Stroke {
  const playable = thoseThat(down, (key) => key.role !== 'resting');
  const isNear = ({ role, struckAt }: HeldKey): boolean =>
    role === 'waiting' || struckAt >= at - nearMicroseconds;
  const isChordNear = playable.some((key) => key.role === 'chord' && isNear(key));
  // A chord is of the stroke as a whole or not at all.
  const near = thoseThat(
    playable,
    (key) => isNear(key) || (isChordNear && key.struckAt >= at - longestStroke),
  );
  const roll = rollOf(playable);
  return roll.length > near.length ? { keys: roll, isRoll: true } : { keys: near, isRoll: false };
}

/** The fresh keys with the bass a hand left lying: a single old key beneath them, if it is meant. */
function withLyingBass(fresh: readonly HeldKey[], { left, reading }: Scene): readonly HeldKey[] {
  const old = left?.keys.filter((key) => !fresh.includes(key)) ?? [];
  const [only] = old;
  if (left === undefined || old.length !== 1 || only === undefined) return fresh;
  // As many new keys as the chord before had: the whole hand has moved, and the old key is the last
  // finger of it to come up.
  if (fresh.length >= left.touch.length) return fresh;
  if (fresh.some((key) => key.note <= only.note)) return fresh;
  // Fresh keys that are a whole chord win over a tied one, unless it is of that chord.
  const isWhole = reading.isPlain(notesOf(fresh));
  if (isWhole && !reading.isPlain(notesOf([only, ...fresh]))) return fresh;
  const withBass = [only, ...fresh];
  return reading.reads(notesOf(withBass)) ? withBass : fresh;
}

/** The keys of a stroke read by themselves. */
function strokeTold({ keys: stroke, isRoll }: Stroke, scene: Scene): Placement | undefined {
  const { reading, spread } = scene;
  const habit = { spread, usualKeys: scene.isMixing ? 0 : scene.usualKeys };
  if (!isRoll && isCrushResolved(stroke, spread, reading)) return nothing;
  // In a roll every key comes by itself, and none of them ahead.
  const ornament = isRoll ? undefined : ornamentIn(stroke, habit, reading);
  const meant = ornament === undefined ? stroke : without(stroke, ornament);
  const { core, above, below } = separate(meant, reading, scene);
  const hands = withPart(withPart(undefined, above, 'line'), below, 'bass');
  const aside = ornament === undefined ? hands : withPart(hands, [ornament], 'ornament');
  if (isCluster(core)) {
    const isOfChord = core.some((key) => key.role === 'chord');
    return { parts: aside, isSure: false, ...(isOfChord && { isDissolved: true }) };
  }
  const isReadOver = below.length > 0 && reading.reads(notesOf([...below, ...core]));
  if (!isReadOver && !reading.reads(notesOf(core))) return strangerTold(core, below, aside, scene);
  const isSure = isSettled(core, isRoll || ornament !== undefined, scene);
  return chordTold(core, below, aside, isSure, scene);
}

/** A nameless stroke that is a plain chord but for one key. */
function strangerTold(
  core: readonly HeldKey[],
  below: readonly HeldKey[],
  aside: Parts,
  scene: Scene,
): Placement | undefined {
  const stranger = strangerIn(core, scene.reading);
  if (stranger === undefined) return undefined;
  const others = without(core, stranger);
  const isOver = stranger.note > (others[0]?.note ?? 0);
  const parts = withPart(aside, [stranger], isOver ? 'line' : 'bass');
  return chordTold(others, below, parts, true, scene);
}

/** One more key of the same stroke is not likely to make another chord of these. */
function isSettled(
  core: readonly HeldKey[],
  isOrnamentKnown: boolean,
  { reading, spread, isPlainUsual, usualKeys }: Scene,
): boolean {
  if (mayBeApart(core) || (core.length < 4 && mayBeBrushed(core))) return false;
  const isUsual = isPlainUsual || core.length < usualKeys;
  // A semitone may be the beginning of a cluster.
  if (!reading.isPlain(notesOf(core)) && (isUsual || hasSemitone(core))) return false;
  const ahead = isOrnamentKnown ? undefined : graceAheadOf(core, spread);
  if (ahead === undefined) return true;
  // A key ahead of the others may be a grace note; one that has passed by then, before any more come.
  const rest = without(core, ahead);
  const fewest =
    ahead.role === 'through' ? Math.max(fewestPitchClasses, usualKeys) : fewestPitchClasses;
  return rest.length >= fewest && !reading.isPlain(notesOf(rest));
}

/** `struck`: the keys of one stroke that are the chord. */
function chordTold(
  struck: readonly HeldKey[],
  below: readonly HeldKey[],
  parts: Parts,
  isSure: boolean,
  scene: Scene,
): Placement {
  // Nothing in it that was not there: what is new is beside the chord.
  if (!struck.some(isNew)) return { parts, isSure };
  const keys = below.length > 0 ? struck : withLyingBass(struck, scene);
  const manner = struck.some((key) => key.role === 'chord') ? 'join' : 'strike';
  return { chord: { keys, below, manner }, parts, isSure };
}

function isInHand(keys: readonly HeldKey[]): boolean {
  const notes = notesOf(keys);
  return Math.max(...notes) - Math.min(...notes) <= handSpan;
}

function hasJustLifted({ isLifted, liftedAt = 0 }: StillSounding, at: number): boolean {
  return isLifted && at - liftedAt <= longestMove;
}

function isLess(left: StillSounding | undefined): boolean {
  return left !== undefined && left.keys.length < left.touch.length;
}

/** Fingers have moved within the chord that sounds: what stays of it and what is new. */
function movedTold(fresh: readonly HeldKey[], scene: Scene): Placement | undefined {
  const { left, at } = scene;
  if (left === undefined || fresh.length === 0) return undefined;
  const old = left.keys.filter((key) => !fresh.includes(key));
  const together = [...old, ...fresh];
  if (!hasJustLifted(left, at) || !isLess(left)) return legatoTold(fresh, scene);
  if (!isInHand(together)) return legatoTold(fresh, scene);
  // A finger that strikes its own chord's tone again wants to be heard, not read.
  if (pitchClassesOf(together) === left.heard) return undefined;
  return restTold(together, fresh, left, scene) ?? legatoTold(fresh, scene);
}

/** What is left of a chord with the keys that have come for those that came up. */
function restTold(
  together: readonly HeldKey[],
  fresh: readonly HeldKey[],
  { keys, touch }: StillSounding,
  { reading }: Scene,
): Placement | undefined {
  if (together.length > touch.length || !reading.reads(notesOf(together))) return undefined;
  const isOne = fresh.length === 1 && touch.length - keys.length === 1;
  const moved = fresh.length > 1 && together.length === touch.length ? 'all' : 'one';
  const manner = isOne ? 'move' : 'join';
  return { chord: { keys: together, below: [], manner, moved }, isSure: true };
}

/**
 * Legato: of the old keys so many stay that the hand holds as many as before, and with them the fresh
 * ones are a plain chord. Where more than one choice of them is, the lifting fingers will tell.
 */
function legatoTold(fresh: readonly HeldKey[], scene: Scene): Placement | undefined {
  const { left, reading } = scene;
  if (left === undefined || fresh.length < 2) return undefined;
  const old = left.keys.filter((key) => !fresh.includes(key));
  const isAmong = fresh.some((key) => left.touch.some((each) => each.note > key.note));
  // Above a chord that is held whole it is the other hand's.
  if (!isAmong && !hasJustLifted(left, scene.at)) return undefined;
  const count = left.touch.length - fresh.length;
  if (count < 1 || count > 2 || count >= old.length) return undefined;
  const choices = choicesOf(old, count).filter((choice) => {
    const together = [...choice, ...fresh];
    return isInHand(together) && reading.isPlain(notesOf(together));
  });
  const [staying] = choices;
  if (staying === undefined) return undefined;
  if (choices.length > 1) return nothing;
  // The rest of a whole new chord may be on its way.
  const keys = [...staying, ...fresh];
  return { chord: { keys, below: [], manner: 'join', moved: 'all', staying }, isSure: false };
}

/** Every choice of one or two of these keys. */
function choicesOf(keys: readonly HeldKey[], count: number): (readonly HeldKey[])[] {
  if (count === 1) return keys.map((key) => [key]);
  return keys.flatMap((one, place) => keys.slice(place + 1).map((other) => [one, other]));
}

/** Nobody tells keys apart: whatever is struck within one gesture is one chord. */
function togetherTold(scene: Scene): Placement {
  const { keys: stroke } = strokeOf(scene);
  const { reading, left } = scene;
  if (reading.reads(notesOf(stroke))) {
    return chordTold(stroke, [], undefined, true, scene);
  }
  if (left?.isLifted !== true) return nothing;
  const old = left.keys.filter((key) => !stroke.includes(key));
  const together = [...old, ...stroke];
  if (pitchClassesOf(together) === left.heard) return nothing;
  if (!reading.reads(notesOf(together))) return nothing;
  return { chord: { keys: together, below: [], manner: 'join' }, isSure: true };
}

/** What one hand, or both, have struck together and moved, told apart. */
function handTold(scene: Scene): Placement {
  const stroke = strokeOf(scene);
  const fresh = thoseThat(stroke.keys, isNew);
  const own = strokeTold(stroke, scene);
  if (own === undefined) return movedTold(fresh, scene) ?? nothing;
  // Struck soon after the chord, of which a finger has left: it has moved there.
  if (own.chord?.manner === 'join' && isLess(scene.left)) return movedTold(fresh, scene) ?? own;
  // Fewer keys than the hand held before: one of those may stay and belong to them.
  if (scene.isMixing && scene.reading.isPlain(notesOf(fresh))) return own;
  if (own.chord?.manner !== 'strike' || fresh.length >= (scene.left?.touch.length ?? 0)) return own;
  const tied = movedTold(fresh, scene);
  const isMeant = tied?.chord === undefined || scene.reading.isPlain(notesOf(tied.chord.keys));
  return tied !== undefined && isMeant ? tied : own;
}

/**
 * The same where `fresh` is known to be all that is struck together. A single note never makes a
 * chord of what is held already: it is a line's.
 */
export function tellMoment(fresh: readonly HeldKey[], scene: () => Scene): Placement {
  if (sizeOf(pitchClassesOf(fresh)) < 2) return nothing;
  const whole = scene();
  const { reading, left } = whole;
  if (reading.reads(notesOf(fresh))) {
    const keys = withLyingBass(fresh, whole);
    return { chord: { keys, below: [], manner: 'strike' }, isSure: true };
  }
  if (left?.isLifted !== true) return nothing;
  const together = [...left.keys, ...fresh];
  const isSame = pitchClassesOf(together) === left.heard;
  if (isSame || !reading.reads(notesOf(together))) return nothing;
  return { chord: { keys: together, below: [], manner: 'join' }, isSure: true };
}

/** Two keys alone, struck together, which a tune makes a chord; more of it may come. */
function shellTold(scene: Scene): Placement {
  const { down, reading } = scene;
  if (down.length !== 2 || !down.every(isNew)) return nothing;
  if (reading.isShell?.(notesOf(down), scene.at) !== true) return nothing;
  const { keys } = strokeOf(scene);
  if (keys.length !== 2) return nothing;
  return { chord: { keys, below: [], manner: 'strike' }, isSure: false };
}

/** The parts of the keys in the scene, seen at its time. */
export function tell(scene: Scene): Placement {
  const { down, split } = scene;
  // Asked with every key and mostly answered here: a single note need not wait for the rest.
  if (sizeOf(pitchClassesOf(down)) < fewestPitchClasses) return shellTold(scene);
  if (!scene.isTold) return togetherTold(scene);
  if (split !== undefined) {
    const isLine = (key: HeldKey): boolean => key.note >= split;
    const told = togetherTold({ ...scene, down: down.filter((key) => !isLine(key)) });
    const line = down.filter((key) => isNew(key) && isLine(key));
    return { ...told, parts: withPart(undefined, line, 'line') };
  }
  return handTold(scene);
}
