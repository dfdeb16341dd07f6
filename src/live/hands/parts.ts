/**
 * Which part a key plays: the rules by which keys struck together are told apart into the chord, a
 * line above it, a bass below it and ornaments. Knows keys (note, loudness, when struck) and whether
 * a set of notes has a name; times are microseconds, distances semitones.
 *
 * Where a rule has no source beside it, it is common practice and its number was tuned on simulated
 * players.
 */
import { sortedBy } from '../../common/sorted-by.ts';
import { without } from '../../common/without.ts';
import type { PitchClassSet } from '../../harmony/pitch/pitch-class-set.ts';
import type { HeldKey } from './held-keys.ts';

/**
 * Keys this close together may be one stroke at all. Pianists' simultaneous notes land up to some
 * 30 ms apart (Goebl, 'Melody lead in piano performance', JASA 110, 2001).
 */
export const nearMicroseconds = 40_000;

/**
 * What one hand holds: a ninth, which is within reach of most (Boyle, Boyle and Booker, 'Pianist
 * hand spans', 2015). Keys struck together over more than this are in two hands.
 */
export const handSpan = 14;

/** A single key this far below the rest, or above it, is in the other hand. */
const bassGap = 8;
/** Below a whole chord in one hand a further key is a bass from this distance on. */
const addedBassGap = 5;
const lineGap = 6;
/** Between an octave in the left hand and the chord: the octave says by itself that it is a bass. */
const octaveBassGap = 4;
/** Steps louder than the rest from which a top key near the chord is its melody all the same. */
const melodyLift = 14;
/** Two keys of a line are at most a major sixth apart: lines go in thirds and sixths. */
const widestLinePair = 9;

/** An ornament's key lies a whole step at most from the tone it adorns. */
const ornamentStep = 2;
/**
 * Struck at this share of the others' loudness or less, a neighbouring key was brushed, not meant;
 * where all of them are a plain chord it takes more.
 */
const brushedShare = 0.62;
const brushedInPlain = 0.5;
/** A brushed key is up again after this. */
const longestBrush = 110_000;
/** A grace note comes at least this long before the chord it leads into. */
const shortestGrace = 15_000;

/** Each key of a slow roll follows the last within this, and all of them within `longestRoll`. */
const rollStep = 150_000;
const longestRoll = 900_000;
/** Steps of a roll are even: the longest is at most so many times the shortest, and 10 ms. */
const rollEvenness = { times: 2.5, extra: 12_000 };
/** Less than this between two keys is a stroke, not a step of a roll. */
const shortestRollStep = 14_000;

export type Reads = (notes: readonly number[]) => boolean;

/** How a hand's notes may be read. */
export type Reading = {
  /** They have a name and a voicing. */
  readonly reads: Reads;
  /** They are a whole triad, sixth or seventh chord and nothing else. */
  readonly isPlain: Reads;
  /** Two notes that are the chord a tune writes next; absent: there is no tune. */
  readonly isShell?: (notes: readonly number[], at: number) => boolean;
};

/** What this player does. */
export type Habit = {
  /** From first to last key of a chord. */
  readonly spread: number;
  /** Keys of a chord; 0 where that varies. */
  readonly usualKeys: number;
};

export type Separated = {
  /** Lowest → highest, as all of these. */
  readonly core: readonly HeldKey[];
  readonly above: readonly HeldKey[];
  readonly below: readonly HeldKey[];
};

/** The pitch classes of these keys; no list of their notes is made for it. */
export function pitchClassesOf(keys: readonly { readonly note: number }[]): PitchClassSet {
  let set = 0;
  for (const { note } of keys) set |= 1 << (note % 12);
  return set;
}

/** Two hands do not lie in each other: of these one is above the other. */
export function areApart(
  one: readonly Pick<HeldKey, 'note'>[],
  other: readonly Pick<HeldKey, 'note'>[],
): boolean {
  const [notes, others] = [notesOf(one), notesOf(other)];
  return Math.min(...notes) > Math.max(...others) || Math.max(...notes) < Math.min(...others);
}

export function notesOf(keys: readonly Pick<HeldKey, 'note'>[]): number[] {
  return keys.map((key) => key.note);
}

export function ascending(keys: readonly HeldKey[]): readonly HeldKey[] {
  return sortedBy(keys, (key) => key.note);
}

function meanVelocity(keys: readonly HeldKey[]): number {
  return keys.reduce((sum, key) => sum + key.velocity, 0) / Math.max(1, keys.length);
}

function spanOf(keys: readonly HeldKey[]): number {
  return (keys.at(-1)?.note ?? 0) - (keys[0]?.note ?? 0);
}

/** Semitones between the key at this place and the one before it. */
function gapAt(keys: readonly HeldKey[], place: number): number {
  return (keys[place]?.note ?? 0) - (keys[place - 1]?.note ?? 0);
}

/** The lowest key doubles another at the octave. */
function isDoubled(keys: readonly HeldKey[]): boolean {
  const [lowest] = keys;
  return keys.some((key) => key !== lowest && (key.note - (lowest?.note ?? 0)) % 12 === 0);
}

/**
 * Whether the lowest one or two keys are a bass in the left hand. `isAdded`: what lies above is a whole
 * chord in one hand.
 */
function isBassBelow(keys: readonly HeldKey[], count: number, isAdded: boolean): boolean {
  if (count === 0) return true;
  if (count === 1 && isAdded && (gapAt(keys, 1) >= addedBassGap || isDoubled(keys))) return true;
  if (spanOf(keys) <= handSpan) return false;
  const gap = gapAt(keys, count);
  if (count === 1) return gap >= bassGap;
  const pair = gapAt(keys, 1);
  return pair === 12 ? gap >= octaveBassGap : pair === 7 && gap >= bassGap;
}

/**
 * Whether the highest one or two keys, `from` on, are a line in the right hand. `isWhole`: all of them
 * are what this player takes for a chord, so that a loud top key is just its top.
 */
function isLineAbove(keys: readonly HeldKey[], from: number, isWhole: boolean): boolean {
  const count = keys.length - from;
  if (count === 0) return true;
  const gap = gapAt(keys, from);
  if (count === 2 && gapAt(keys, from + 1) > widestLinePair) return false;
  if (spanOf(keys) > handSpan && gap >= lineGap) return true;
  if (count > 1 || isWhole || gap < 3) return false;
  return (keys.at(-1)?.velocity ?? 0) - meanVelocity(keys.slice(0, from)) >= melodyLift;
}

/** How many keys lie aside of the core, below and above it; the most aside first. */
const divisions: readonly (readonly [low: number, high: number])[] = [
  [2, 2],
  [2, 1],
  [1, 2],
  [2, 0],
  [1, 1],
  [0, 2],
  [1, 0],
  [0, 1],
];

/** Whether the keys from `low` to `end` are a chord in its own right, and the others beside it. */
function isDivided(
  keys: readonly HeldKey[],
  low: number,
  end: number,
  { reads, isPlain }: Reading,
  isWhole: boolean,
): boolean {
  // Said of most keys at once, and before any list is made: as if there were a whole chord above.
  if (!isBassBelow(keys, low, true)) return false;
  const hand = low === 0 ? keys : keys.slice(low);
  if (!isLineAbove(hand, end - low, isWhole)) return false;
  const core = keys.slice(low, end);
  const isAdded = low > 0 && spanOf(core) <= handSpan && isPlain(notesOf(core));
  if (!isBassBelow(keys, low, isAdded)) return false;
  // A line may lie within the hand only above a whole chord.
  const isNear = end < keys.length && spanOf(hand) <= handSpan;
  const isNamed = isNear ? isPlain(notesOf(core)) : reads(notesOf(core));
  return isNamed || isNamedOverBass(keys, low, end, reads);
}

/**
 * Keys of one stroke, told apart by hands: a bass of one or two keys below and a line of one or two
 * above, as many as there are while what lies between them still has a name.
 */
export function separate(
  stroke: readonly HeldKey[],
  reading: Reading,
  { isLineTold, usualKeys }: { readonly isLineTold: boolean; readonly usualKeys: number },
): Separated {
  const keys = ascending(stroke);
  const isWhole = keys.length <= usualKeys || reading.isPlain(notesOf(keys));
  for (const [low, high] of divisions) {
    const end = keys.length - high;
    if (end - low < 2 || (high > 0 && !isLineTold)) continue;
    if (isDivided(keys, low, end, reading, isWhole)) {
      return { core: keys.slice(low, end), above: keys.slice(end), below: keys.slice(0, low) };
    }
  }
  return { core: keys, above: [], below: [] };
}

/** A key lies so far above or below the others that it may turn out to be in another hand. */
export function mayBeApart(stroke: readonly HeldKey[]): boolean {
  const keys = ascending(stroke);
  if (spanOf(keys) <= handSpan) return false;
  return gapAt(keys, keys.length - 1) >= lineGap || gapAt(keys, 1) >= bassGap;
}

/** Two keys of the right hand that only the bass an octave and more below them makes a chord. */
function isNamedOverBass(
  keys: readonly HeldKey[],
  low: number,
  end: number,
  reads: Reads,
): boolean {
  if (low === 0 || end - low < 2 || gapAt(keys, low) < 12) return false;
  return reads(notesOf(keys.slice(0, end)));
}

/** Neighbours in semitones that nobody means as a chord, three of them or more. */
export function isCluster(keys: readonly HeldKey[]): boolean {
  const notes = notesOf(ascending(keys));
  let semitones = 0;
  for (let place = 1; place < notes.length; place += 1) {
    const step = (notes[place] ?? 0) - (notes[place - 1] ?? 0);
    if (step > 2) semitones = 0;
    if (step === 1) semitones += 1;
    if (semitones >= 2) return true;
  }
  return false;
}

/** A semitone between two of these keys: more of a cluster may be on its way. */
export function hasSemitone(keys: readonly HeldKey[]): boolean {
  return keys.some(({ note }) => keys.some((other) => other.note === note + 1));
}

function isNeighbour(key: HeldKey, others: readonly HeldKey[]): boolean {
  return others.some((other) => {
    const step = Math.abs(other.note - key.note);
    return step > 0 && step <= ornamentStep;
  });
}

/**
 * The key of a stroke that adorns it instead of belonging to it: a grace note ahead of the others, or
 * a neighbour that was brushed. The rest is a plain chord, and the whole is none.
 */
export function ornamentIn(
  stroke: readonly HeldKey[],
  { spread, usualKeys }: Habit,
  { isPlain }: Reading,
): HeldKey | undefined {
  if (stroke.length < 4) return undefined;
  const isWhole = isPlain(notesOf(stroke));
  const share = isWhole ? brushedInPlain : brushedShare;
  const isOrnament = (key: HeldKey): boolean => {
    const others = without(stroke, key);
    return isNeighbour(key, others) && isPlain(notesOf(others));
  };
  const all = stroke.reduce((sum, { velocity }) => sum + velocity, 0);
  const isBrushed = ({ velocity }: HeldKey): boolean =>
    velocity <= (share * (all - velocity)) / (stroke.length - 1);
  const brushed = stroke.find((key) => isBrushed(key) && isOrnament(key));
  if (brushed !== undefined) return brushed;
  const isUsual = usualKeys === 0 || stroke.length <= usualKeys;
  const ahead = graceAheadOf(stroke, spread * (isWhole ? (isUsual ? 1.5 : 1) : 0.5));
  // A key whose chord has sounded is none.
  return ahead !== undefined && ahead.role !== 'chord' && isOrnament(ahead) ? ahead : undefined;
}

/** One of the keys is so much softer than the next that it may have been brushed. */
export function mayBeBrushed(stroke: readonly HeldKey[]): boolean {
  let softest = Number.POSITIVE_INFINITY;
  let next = Number.POSITIVE_INFINITY;
  for (const { velocity } of stroke) {
    if (velocity < softest) [softest, next] = [velocity, softest];
    else if (velocity < next) next = velocity;
  }
  return stroke.length > 1 && softest <= brushedShare * next;
}

/** A semitone from one of these. */
export function isBeside(key: HeldKey, others: readonly HeldKey[]): boolean {
  return others.some((other) => Math.abs(other.note - key.note) === 1);
}

/**
 * A chord sounds, and after it the key beside one of its own is struck that makes another plain chord
 * without that one: a crushed note is about to be resolved, which the lifting finger will tell.
 */
export function isCrushResolved(
  stroke: readonly HeldKey[],
  spread: number,
  { isPlain }: Reading,
): boolean {
  // As with most strokes, which are new as a whole.
  if (!stroke.some(({ role }) => role === 'chord')) return false;
  const fresh = stroke.filter(({ role }) => role === 'waiting' || role === 'through');
  const chord = stroke.filter(({ role }) => role === 'chord');
  const [key] = fresh;
  if (key === undefined || fresh.length > 1 || chord.length < 3) return false;
  const lag = key.struckAt - Math.max(...chord.map((each) => each.struckAt));
  if (lag < Math.max(shortestGrace, spread) || isPlain(notesOf(stroke))) return false;
  if (!isPlain(notesOf(chord))) return false;
  const crushed = chord.find((each) => isBeside(each, [key]));
  return crushed !== undefined && isPlain(notesOf(stroke.filter((each) => each !== crushed)));
}

/** The first key of a stroke, when it comes so long before the others that it may be a grace note. */
export function graceAheadOf(stroke: readonly HeldKey[], spread: number): HeldKey | undefined {
  let first: HeldKey | undefined;
  let secondAt = Number.POSITIVE_INFINITY;
  for (const key of stroke) {
    if (first === undefined || key.struckAt < first.struckAt) {
      secondAt = first?.struckAt ?? secondAt;
      first = key;
    } else if (key.struckAt < secondAt) secondAt = key.struckAt;
  }
  if (first === undefined || stroke.length < 2) return undefined;
  return secondAt - first.struckAt >= Math.max(shortestGrace, spread) ? first : undefined;
}

/** A key that comes up so soon that it may have been brushed. */
export function isBrief({ struckAt }: HeldKey, at: number): boolean {
  return at - struckAt <= longestBrush;
}

/** Whether a key of a chord that has come up was brushed: short, soft and beside another of them. */
export function wasBrushed(key: HeldKey, others: readonly HeldKey[], at: number): boolean {
  const isSoft = key.velocity <= 0.8 * meanVelocity(others);
  return isSoft && isBrief(key, at) && isNeighbour(key, others);
}

/**
 * The key without which a nameless stroke is a plain chord. Of several the outermost, above before
 * below, and the softer; undefined when no single key is the stranger.
 */
export function strangerIn(stroke: readonly HeldKey[], { isPlain }: Reading): HeldKey | undefined {
  if (stroke.length < 4 || isCluster(stroke)) return undefined;
  const keys = ascending(stroke);
  let stranger: HeldKey | undefined;
  let most = Number.NEGATIVE_INFINITY;
  keys.forEach((key, place) => {
    const others = without(keys, key);
    if (!isPlain(notesOf(others))) return;
    const isTop = place === keys.length - 1;
    const outer = isTop ? 3 : place === 0 ? 1 : 0;
    const score = outer - (key.velocity - meanVelocity(others)) / 16;
    if (score > most) {
      stranger = key;
      most = score;
    }
  });
  return stranger;
}

/** Between two keys of a slow roll. */
function isStep(time: number): boolean {
  return time >= shortestRollStep && time <= rollStep;
}

/** From the last key but one to the last; 0 where there are not two. */
function sinceLastButOne(keys: readonly HeldKey[]): number {
  let last = Number.NEGATIVE_INFINITY;
  let before = Number.NEGATIVE_INFINITY;
  for (const { struckAt } of keys) {
    if (struckAt >= last) [before, last] = [last, struckAt];
    else if (struckAt > before) before = struckAt;
  }
  return keys.length < 2 ? 0 : last - before;
}

/**
 * The keys of a slow roll whose last key was just struck: single keys one after the other in even
 * steps, all upwards or all downwards, and all still down. Empty when this is none: a line in thirds
 * comes in pairs, and lets go of what it leaves.
 */
export function rollOf(down: readonly HeldKey[]): readonly HeldKey[] {
  // So few make none, and most strokes begin so.
  if (down.length < 3 || !isStep(sinceLastButOne(down))) return [];
  const keys = sortedBy(down, (key) => -key.struckAt);
  const last = keys[0];
  const roll: HeldKey[] = last === undefined ? [] : [last];
  let shortest = Number.POSITIVE_INFINITY;
  let longest = 0;
  for (let place = 1; place < keys.length; place += 1) {
    const [key, after, first] = [keys[place], keys[place - 1], keys[0]];
    if (key === undefined || after === undefined || first === undefined) break;
    const step = after.struckAt - key.struckAt;
    const shorter = Math.min(shortest, step);
    const longer = Math.max(longest, step);
    const isEven = longer <= shorter * rollEvenness.times + rollEvenness.extra;
    const isOneWay =
      Math.sign(after.note - key.note) === Math.sign(first.note - (keys[1]?.note ?? 0));
    if (!isEven || !isOneWay || !isStep(step) || first.struckAt - key.struckAt > longestRoll) break;
    roll.push(key);
    shortest = shorter;
    longest = longer;
  }
  return roll.length < 3 ? [] : roll;
}
