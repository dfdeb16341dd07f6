/**
 * What keys just struck make with those that are down, those that the sustain pedal keeps and the grip
 * before: a chord, a melody over one, or nothing yet. The rules are those by which passages are
 * analysed, as far as they can be known before the notes end. How long and how near: common practice,
 * no source. Times are microseconds.
 */
import { sizeOf } from '../../harmony/pitch/pitch-class-set.ts';
import { gestureMicroseconds } from '../hands/gather.ts';
import { fewestPitchClasses } from '../hands/hand.ts';
import type { HeldKey } from '../hands/held-keys.ts';
import { areApart, ascending, notesOf, pitchClassesOf } from '../hands/parts.ts';

export type LastGrip = {
  /** Lowest → highest, no pitch twice. */
  readonly keys: readonly HeldKey[];
  /** When its first new key was struck, its last one, and when it was read. */
  readonly at: number;
  readonly lastAt: number;
  readonly readAt: number;
  /** Of `keys`, those that were down before it. */
  readonly over: readonly HeldKey[];
  /** So many of `keys` still sound: all, or fewer. */
  readonly isWhole: boolean;
};

export type Keys = {
  /** Since the last reading, in order; some may be up again. */
  readonly struck: readonly HeldKey[];
  /** Down before that. */
  readonly held: readonly HeldKey[];
  /** Let go, and kept sounding by the pedal. */
  readonly rung: readonly HeldKey[];
  readonly isDown: (key: HeldKey) => boolean;
  readonly last: LastGrip | undefined;
};

export type Outcome =
  | {
      readonly type: 'grip';
      readonly keys: readonly HeldKey[];
      readonly over: readonly HeldKey[];
      readonly isCorrection: boolean;
    }
  | { readonly type: 'line' | 'nothing' }
  /** Read again then. */
  | { readonly type: 'wait'; readonly until: number };

/** A single key within a held chord, or in place of its top, makes another one of it when it stays so long. */
const staying = 450_000;
/** From a bass that was let go into the pedal to the chord over it; and the semitones between. */
const bassBefore = { longest: 1_300_000, gap: 4 } as const;

const nothing: Outcome = { type: 'nothing' };

function grip(keys: readonly HeldKey[], over: readonly HeldKey[] = []): Outcome {
  return { type: 'grip', keys, over, isCorrection: false };
}

export function areChord(keys: readonly HeldKey[]): boolean {
  return sizeOf(pitchClassesOf(keys)) >= fewestPitchClasses;
}

const lowestOf = (keys: readonly HeldKey[]): number => Math.min(...notesOf(keys));
const highestOf = (keys: readonly HeldKey[]): number => Math.max(...notesOf(keys));

/** A bass that the pedal keeps below what is struck now. */
function ringingBass({ struck, rung, last }: Keys): readonly HeldKey[] {
  const first = struck[0]?.struckAt ?? 0;
  const low = lowestOf(struck) - bassBefore.gap;
  const since = last?.at ?? Number.NEGATIVE_INFINITY;
  return rung
    .filter(({ note, struckAt }) => note <= low && struckAt > since)
    .filter(({ struckAt }) => first - struckAt <= bassBefore.longest)
    .slice(-1);
}

/** Over a held chord. */
function readOver({ struck, held, isDown, last }: Keys, at: number): Outcome {
  // Of a trill the one that stays.
  const meant = struck.length > 1 ? struck.filter(isDown) : struck;
  const [first] = meant;
  if (first === undefined) return nothing;
  const isAbove = lowestOf(meant) > highestOf(held);
  const isBelow = highestOf(meant) < lowestOf(held);
  // The finger that had the top before, and no melody over what is held.
  const isTop = isAbove && last !== undefined && highestOf(last.keys) > highestOf(held);
  if (isAbove && !isTop && meant.length < 3) return { type: 'line' };
  const isWithin = meant.length === 1 && !isBelow && (!isAbove || isTop);
  if (isWithin && !isDown(first)) return nothing;
  const until = first.struckAt + staying;
  if (isWithin && at < until) return { type: 'wait', until };
  if (isBelow && meant.length < 3) for (const key of meant) key.part = 'bass';
  return grip([...held, ...meant]);
}

/** Few keys, with what is held and what the pedal keeps: of a broken chord. */
function readFew({ struck, held, rung, last }: Keys): Outcome {
  const keys = [...rung, ...held, ...struck];
  if (!areChord(keys)) return nothing;
  const isGrown = last?.isWhole === true;
  const isSame = isGrown && pitchClassesOf(keys) === pitchClassesOf(last.keys);
  return isSame ? nothing : { type: 'grip', keys, over: [], isCorrection: isGrown };
}

/** The top of a grip that lies this far above the rest of it, in semitones, is a melody over it. */
const apart = 12;

/** A melody note struck with its chord, far above it. */
function withoutLine(outcome: Outcome): Outcome {
  if (outcome.type !== 'grip') return outcome;
  const keys = ascending(outcome.keys);
  const [next, top] = keys.slice(-2);
  const isFar = top !== undefined && next !== undefined && top.note - next.note > apart;
  if (!isFar || !areChord(keys.slice(0, -1))) return outcome;
  top.part = 'line';
  return { ...outcome, keys: keys.slice(0, -1), over: outcome.over.filter((key) => key !== top) };
}

/**
 * A chord is struck while all keys of the one before are still down, among its own: that will be let go
 * late, and is no voicing of both.
 */
function isLetGoLate({ struck, held, last }: Keys): boolean {
  if (last === undefined || !last.keys.every((key) => held.includes(key))) return false;
  return !areApart(struck, last.keys);
}

export function readGrip(keys: Keys, at: number): Outcome {
  return withoutLine(readAll(keys, at));
}

function readAll(keys: Keys, at: number): Outcome {
  const { struck, held, last } = keys;
  const [first] = struck;
  if (first === undefined) return nothing;
  const isLate = last !== undefined && first.struckAt - last.lastAt <= gestureMicroseconds;
  // Chords that follow fast are chords of their own.
  if (isLate && (!areChord(struck) || last.isWhole)) {
    return { type: 'grip', keys: [...last.keys, ...struck], over: last.over, isCorrection: true };
  }
  if (areChord(struck)) {
    const meant = isLetGoLate(keys) ? [] : held;
    return grip([...ringingBass(keys), ...meant, ...struck], meant);
  }
  return areChord(held) ? readOver(keys, at) : readFew(keys);
}
