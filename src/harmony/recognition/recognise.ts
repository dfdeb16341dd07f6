/**
 * From held notes to a chord: the table's readings, then context. `root` and `bass` are kept
 * apart: an inversion under the hand is smoothness, not a new root.
 *
 * A set over a bass in a key after a chord is one of finitely many cases; which reading wins there
 * is worked out once and remembered in a table of fixed size, so that live play only looks up.
 */

import { type Chord, chordOf } from '../chord/chord.ts';
import type { ChordType } from '../chord/chord-type.ts';
import {
  type PitchClass,
  type PitchClassSet,
  relativeTo,
  sizeOf,
  transpose,
} from '../pitch/pitch-class-set.ts';
import { choraleReadings } from './chorale.ts';
import { type Context, leadOf, leads, scoreInContext } from './context.ts';
import { isVoiceable, type Reading } from './reading.ts';
import { mostReadings, readingsOver } from './reading-table.ts';

export type { Chord } from '../chord/chord.ts';
export type { Context } from './context.ts';

export type Ranked = { readonly reading: Reading; readonly score: number };

function listOf(relativeSet: PitchClassSet, context: Context): readonly Reading[] {
  return context.idiom === 'chorale' ? choraleReadings(relativeSet) : readingsOver(relativeSet);
}

/** All readings of a set over a bass, best first; equal scores in the table's order. */
export function rankReadings(set: PitchClassSet, bass: PitchClass, context: Context): Ranked[] {
  return listOf(relativeTo(set, bass), context)
    .map((reading) => ({ reading, score: scoreInContext(reading, bass, context) }))
    .sort((one, other) => other.score - one.score);
}

function bestOf(readings: readonly Reading[], bass: PitchClass, context: Context): number {
  let best = 0;
  let bestScore = Number.NEGATIVE_INFINITY;
  for (let index = 0; index < readings.length; index += 1) {
    const reading = readings[index];
    if (reading === undefined) continue;
    const score = scoreInContext(reading, bass, context);
    if (score > bestScore) {
      best = index;
      bestScore = score;
    }
  }
  return best;
}

const leadNumbers = new Map(leads.map((lead, index) => [lead, index]));
const leadNumberOf: number[] = [];

function leadNumber(type: ChordType): number {
  const known = leadNumberOf[type.index];
  if (known !== undefined) return known;
  const number = leadNumbers.get(leadOf(type)) ?? 0;
  leadNumberOf[type.index] = number;
  return number;
}

/** No key, or 12 tonics below the bass in two modes. */
const keyCases = 25;
/** No chord before, or 12 roots below the bass that lead in one of four ways. */
const previousCases = 1 + 12 * leads.length;
const cases = keyCases * previousCases;
const setCases = 2048;

/** Best reading plus one; 0 where nobody has asked yet. One table per way of hearing the bass. */
const underHand = new Uint8Array(setCases * cases);
const overOwnBass = new Uint8Array(setCases * cases);

/** Semitones up from a pitch class to the bass; both 0–11. */
function up(from: PitchClass, bass: PitchClass): number {
  return bass >= from ? bass - from : bass - from + 12;
}

/** Which of the finitely many keys and chords before this is, as seen from the bass. */
function caseOf(bass: PitchClass, { key, previous }: Context): number {
  let place = 0;
  if (key !== undefined) {
    place = (1 + up(key.pitchClass, bass) + (key.mode === 'minor' ? 12 : 0)) * previousCases;
  }
  if (previous !== undefined) {
    place += 1 + up(previous.root, bass) + 12 * leadNumber(previous.type);
  }
  return place;
}

/** Rare contexts are worked out afresh: files and tests, not the stage. */
function isOrdinary({ next, sixths, idiom }: Context): boolean {
  return next === undefined && sixths === undefined && idiom !== 'chorale';
}

function workOut(
  relativeSet: PitchClassSet,
  bass: PitchClass,
  context: Context,
): Reading | undefined {
  if (relativeSet === 0) return undefined;
  const sounding = context.idiom === 'chorale' ? relativeSet : relativeSet | 1;
  const readings = listOf(sounding, context);
  return readings[bestOf(readings, bass, context)];
}

/**
 * The best reading of a set over a bass, whatever its kind; undefined for an empty set. The bass
 * need not be in the set.
 */
export function recogniseSet(
  set: PitchClassSet,
  bass: PitchClass,
  context: Context,
): Reading | undefined {
  const relativeSet = relativeTo(set, bass);
  if ((relativeSet & 1) === 0 || !isOrdinary(context)) return workOut(relativeSet, bass, context);
  const table = context.hasBass === true ? overOwnBass : underHand;
  const place = (relativeSet >> 1) * cases + caseOf(bass, context);
  const readings = readingsOver(relativeSet);
  const known = table[place] ?? 0;
  if (known > 0) return readings[known - 1];
  const best = bestOf(readings, bass, context);
  table[place] = best + 1;
  return readings[best];
}

/** Score points another reading must gain before the name of a held chord changes. */
const stickiness = 0.8;

function soundOf(chord: Chord): PitchClassSet {
  return transpose(chord.type.tones, chord.root) | (1 << chord.bass);
}

/** The held chord's name for what is down now, unless something else is clearly meant. */
function heldReading(
  set: PitchClassSet,
  bass: PitchClass,
  best: Reading | undefined,
  holding: Chord,
  context: Context,
): Chord | undefined {
  const whole = soundOf(holding);
  const isLess = (set & ~whole) === 0 && sizeOf(set) < sizeOf(whole);
  if (isLess && 2 * sizeOf(set) >= sizeOf(whole)) return holding;
  const isSameRoot = (reading: Reading): boolean =>
    isVoiceable(reading) && (bass + reading.rootAboveBass) % 12 === holding.root;
  if (best === undefined || isSameRoot(best)) return undefined;
  const same = readingsOver(relativeTo(set, bass)).find(isSameRoot);
  if (same === undefined) return undefined;
  // A chord that was there first owes nothing to the thirds a passing note makes of it.
  const own = scoreInContext(same, bass, context) + (same.behind ?? 0);
  const isClear = scoreInContext(best, bass, context) > own + stickiness;
  return isClear ? undefined : chordOf(same, bass);
}

function chosenOver(set: PitchClassSet, bass: PitchClass, context: Context): Chord | undefined {
  const best = recogniseSet(set, bass, context);
  if (context.holding !== undefined) {
    const held = heldReading(set, bass, best, context.holding, context);
    if (held !== undefined) return held;
  }
  return best !== undefined && isVoiceable(best) ? chordOf(best, bass) : undefined;
}

/** Chords by set, bass and place of their reading in its list; null where there is none to voice. */
const chords: (Chord | null | undefined)[] = new Array(setCases * 12 * mostReadings).fill(
  undefined,
);

/** The chord of a set over a bass, or undefined where it has no name to be voiced by. */
export function recogniseOver(
  set: PitchClassSet,
  bass: PitchClass,
  context: Context,
): Chord | undefined {
  const relativeSet = relativeTo(set, bass);
  const isKnown = (relativeSet & 1) !== 0 && context.holding === undefined && isOrdinary(context);
  if (!isKnown) return chosenOver(set, bass, context);
  const table = context.hasBass === true ? overOwnBass : underHand;
  const choice = table[(relativeSet >> 1) * cases + caseOf(bass, context)] ?? 0;
  const slot = ((relativeSet >> 1) * 12 + bass) * mostReadings + choice - 1;
  const known = choice === 0 ? undefined : chords[slot];
  if (known !== undefined) return known ?? undefined;
  const chord = chosenOver(set, bass, context);
  if (choice > 0) chords[slot] = chord ?? null;
  return chord;
}

const pitchClassOf = Uint8Array.from({ length: 128 }, (_, note) => note % 12);
const setOf = Uint16Array.from({ length: 128 }, (_, note) => 1 << (note % 12));

/**
 * The chord of notes given in any order, each 0–127; undefined for fewer than three different
 * pitch classes and for sets nobody has a name for.
 */
export function recognise(notes: readonly number[], context: Context): Chord | undefined {
  let lowest = 127;
  let set = 0;
  // Counted, not iterated: this runs for every key pressed on stage.
  for (let index = 0; index < notes.length; index += 1) {
    const note = notes[index] ?? 127;
    if (note < lowest) lowest = note;
    set |= setOf[note] ?? 0;
  }
  if (set === 0) return undefined;
  return recogniseOver(set, pitchClassOf[lowest] ?? 0, context);
}
