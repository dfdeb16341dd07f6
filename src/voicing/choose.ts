/**
 * Choosing the next voicing: list, filter, cost, choose. When nothing keeps every rule, rules are
 * given up in one stated order (see `levels`), and the result says which: never silence.
 */
import type { Harmony } from '../harmony/palette.ts';
import { close } from './close.ts';
import {
  keepsLowIntervalLimits,
  keepsMinorNinths,
  keepsOneColour,
  keepsSpacing,
  keepsTopClear,
} from './constraints.ts';
import { costOf } from './cost.ts';
import { strategyById } from './strategies.ts';
import type { Frame, Strategy, StrategyId, Voicing } from './voicing.ts';

export type Chosen = {
  readonly voicing: Voicing;
  /** Rules given up, in the order given up; empty when all were kept. */
  readonly relaxed: readonly string[];
};

export type Candidates = {
  readonly voicings: readonly Voicing[];
  /** Why another strategy stands in, or ''. */
  readonly fallback: string;
};

type Rules = {
  readonly spacing: boolean;
  /** Semitones the upper register has been widened by, at each end. */
  readonly widening: number;
  readonly complete: boolean;
  readonly lowIntervals: boolean;
  readonly minorNinths: boolean;
};

/** All rules first; then, one by one, the order in which they are given up. */
const levels: readonly Rules[] = [
  { spacing: true, complete: true, widening: 0, lowIntervals: true, minorNinths: true },
  { spacing: false, complete: true, widening: 0, lowIntervals: true, minorNinths: true },
  { spacing: false, complete: false, widening: 0, lowIntervals: true, minorNinths: true },
  { spacing: true, complete: true, widening: 3, lowIntervals: true, minorNinths: true },
  { spacing: true, complete: true, widening: 6, lowIntervals: true, minorNinths: true },
  { spacing: false, complete: false, widening: 12, lowIntervals: true, minorNinths: true },
  { spacing: false, complete: false, widening: 12, lowIntervals: false, minorNinths: true },
  { spacing: false, complete: false, widening: 12, lowIntervals: false, minorNinths: false },
];

function isSpaced(voicing: Voicing): boolean {
  return keepsSpacing(voicing) && keepsTopClear(voicing);
}

function keepsRules(voicing: Voicing, harmony: Harmony, rules: Rules): boolean {
  if (rules.complete && voicing.isIncomplete === true) return false;
  if (rules.spacing && !isSpaced(voicing)) return false;
  if (rules.lowIntervals && !keepsLowIntervalLimits(voicing.notes)) return false;
  if (rules.minorNinths && !keepsMinorNinths(voicing.notes, harmony)) return false;
  return keepsOneColour(voicing, harmony);
}

function widened(frame: Frame, semitones: number): Frame {
  if (semitones === 0) return frame;
  const lowest = Math.max(0, frame.upper.lowest - semitones);
  const highest = Math.min(127, frame.upper.highest + semitones);
  const bass = { ...frame.bass, lowest: Math.max(0, frame.bass.lowest - semitones) };
  return { ...frame, upper: { lowest, highest }, bass };
}

function membersUnder(strategy: Strategy, harmony: Harmony, frame: Frame, rules: Rules): Voicing[] {
  return strategy
    .members(harmony, widened(frame, rules.widening))
    .filter((voicing) => keepsRules(voicing, harmony, rules));
}

/** The members of one strategy under the first level of rules that leaves any; empty when none do. */
function relaxedMembers(strategy: Strategy, harmony: Harmony, frame: Frame): readonly Voicing[] {
  for (const rules of levels) {
    const voicings = membersUnder(strategy, harmony, frame, rules);
    if (voicings.length > 0) return voicings;
  }
  return [];
}

/** The rules a voicing does not keep, in the order they are given up. */
function givenUp(voicing: Voicing, harmony: Harmony, frame: Frame): string[] {
  const { lowest, highest } = frame.upper;
  const isOutside = voicing.upper.some((note) => note < lowest || note > highest);
  const isBassOutside = voicing.bass !== undefined && voicing.bass < frame.bass.lowest;
  const broken: readonly (readonly [string, boolean])[] = [
    ['spacing', !isSpaced(voicing)],
    ['guide tones', voicing.isIncomplete === true],
    ['register of the upper voices', isOutside],
    ['register of the bass', isBassOutside],
    ['low interval limits', !keepsLowIntervalLimits(voicing.notes)],
    ['minor ninths', !keepsMinorNinths(voicing.notes, harmony)],
  ];
  return broken.filter(([, isBroken]) => isBroken).map(([name]) => name);
}

/** A frame in which close position finds room whatever the registers were. */
function fallbackFrame(frame: Frame): Frame {
  return { ...frame, voices: Math.max(3, Math.min(4, frame.voices)) };
}

/**
 * Every voicing to choose from: the strategy's own, else close position, else none (and the
 * player's notes pass through as they are).
 */
export function candidates(strategyId: StrategyId, harmony: Harmony, frame: Frame): Candidates {
  const own = relaxedMembers(strategyById(strategyId), harmony, frame);
  if (own.length > 0) return { voicings: own, fallback: '' };
  const fallback = `close position instead: no ${strategyId} voicing of this chord`;
  return { voicings: relaxedMembers(close, harmony, fallbackFrame(frame)), fallback };
}

/**
 * The cheapest to move to. Ties go to the one listed first; strategies list in a fixed order, so
 * the same input and history always give the same voicing.
 */
export function cheapest(
  { voicings, fallback }: Candidates,
  last: Voicing | undefined,
  harmony: Harmony,
  frame: Frame,
): Chosen | undefined {
  let best: Voicing | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const voicing of voicings) {
    const cost = costOf(voicing, last, frame);
    if (cost < least) {
      best = voicing;
      least = cost;
    }
  }
  if (best === undefined) return undefined;
  const relaxed = givenUp(best, harmony, frame);
  return { voicing: best, relaxed: fallback === '' ? relaxed : [fallback, ...relaxed] };
}
