/**
 * Choosing the next voicing: list, filter, cost, choose. When nothing keeps every rule, rules are
 * given up in one stated order, and the result says which: never silence.
 *
 *   1. spacing, then doubling, then reach: the sound gets rougher, not wrong;
 *   2. the registers, wider by 3, 6 and 12 semitones at either end, with the other rules kept as
 *      long as they can be;
 *   3. the strategy: fewer voices, then what stands in for it (see each strategy's `fallbacks`),
 *      each by 1 and 2: a neighbouring texture is a smaller loss than a chord without its third, mud
 *      or a minor ninth;
 *   4. guide tones, then low interval limits, then minor ninths, in the strategy asked for;
 *   5. close position with every rule given up; then the lead; then the notes pass as played.
 */
import type { Harmony } from '../harmony/palette.ts';
import { keeps, keepsOneColour, type RuleName, ruleNames } from './constraints.ts';
import { partCount } from './count-words.ts';
import { moveCost, standingCost } from './leading.ts';
import { strategyById } from './strategies.ts';
import type { Frame, Strategy, StrategyId, Voicing } from './voicing.ts';

export type Chosen = {
  readonly voicing: Voicing;
  /** Rules given up, in the order given up; empty when all were kept. */
  readonly relaxed: readonly string[];
};

export type Candidates = {
  readonly voicings: readonly Voicing[];
  /** What each costs for what it is and where it stands, before any motion. */
  readonly standing: Float64Array;
  /** What stands in for what was asked, in words; empty when the strategy itself serves. */
  readonly fallback: readonly string[];
  /** The strategy that serves. */
  readonly strategy: StrategyId;
};

type Level = {
  /** Semitones by which the registers are wider, at each end. */
  readonly widening: number;
  readonly givenUp: readonly RuleName[];
};

const soft: readonly RuleName[] = ['spacing', 'doubling', 'reach'];

/** All rules first; then, one by one, the order in which they are given up (1 and 2 above). */
const levels: readonly Level[] = [
  { widening: 0, givenUp: [] },
  { widening: 0, givenUp: ['spacing'] },
  { widening: 0, givenUp: ['spacing', 'doubling'] },
  { widening: 0, givenUp: soft },
  { widening: 3, givenUp: [] },
  { widening: 6, givenUp: [] },
  { widening: 12, givenUp: [] },
  { widening: 12, givenUp: soft },
];

/** 4 above. */
const lastLevels: readonly Level[] = [
  { widening: 0, givenUp: [...soft, 'guide tones'] },
  { widening: 12, givenUp: [...soft, 'guide tones'] },
  { widening: 0, givenUp: [...soft, 'guide tones', 'low interval limits'] },
  { widening: 12, givenUp: [...soft, 'guide tones', 'low interval limits'] },
  { widening: 12, givenUp: [...soft, 'guide tones', 'low interval limits', 'minor ninths'] },
];

/** Kept by construction, so that members need not be judged by them. */
const constructed: readonly RuleName[] = [
  'bass policy',
  'register of the upper voices',
  'register of the bass',
];
const sounding = ruleNames.filter((rule) => !constructed.includes(rule));

function widened(frame: Frame, semitones: number): Frame {
  if (semitones === 0) return frame;
  const wider = ({ lowest, highest }: { lowest: number; highest: number }) => ({
    lowest: Math.max(0, lowest - semitones),
    highest: Math.min(127, highest + semitones),
  });
  return { ...frame, upper: wider(frame.upper), bass: { ...frame.bass, ...wider(frame.bass) } };
}

type Judged = { readonly voicing: Voicing; readonly broken: readonly RuleName[] };

/** A strategy's members with the rules each breaks, the registers being kept by construction. */
function judge(strategy: Strategy, harmony: Harmony, frame: Frame): Judged[] {
  return strategy
    .members(harmony, frame)
    .filter((voicing) => frame.lead === undefined || voicing.upper.at(-1) === frame.lead)
    .filter((voicing) => keepsOneColour(voicing, harmony))
    .map((voicing) => ({
      voicing,
      broken: sounding.filter((rule) => !keeps(rule, voicing, harmony, frame, strategy.id)),
    }));
}

/** The members under the first level of rules that leaves any; empty when none does. */
function firstFit(
  strategy: Strategy,
  harmony: Harmony,
  frame: Frame,
  order: readonly Level[],
): readonly Voicing[] {
  let judged: readonly Judged[] = [];
  let width = -1;
  for (const { widening, givenUp } of order) {
    if (widening !== width) judged = judge(strategy, harmony, widened(frame, widening));
    width = widening;
    const fit = judged.filter(({ broken }) => broken.every((rule) => givenUp.includes(rule)));
    if (fit.length > 0) return fit.map(({ voicing }) => voicing);
  }
  return [];
}

/** A register whose top is the lead, and deep enough below it. */
function underLead(frame: Frame): Frame {
  const { lead, upper } = frame;
  if (lead === undefined) return frame;
  const lowest = Math.min(upper.lowest, Math.max(0, lead - 12));
  return { ...frame, upper: { lowest, highest: lead } };
}

function withVoices(frame: Frame, { voices: [fewest, most] }: Strategy): Frame {
  return { ...frame, voices: Math.max(fewest, Math.min(most, frame.voices)) };
}

type Found = {
  readonly voicings: readonly Voicing[];
  readonly fallback: string;
  readonly strategy: StrategyId;
};

/** 1 to 3 above: the strategy, with fewer voices, by what stands in for it. */
function bySubstitution(strategy: Strategy, harmony: Harmony, frame: Frame): Found | undefined {
  const asked = withVoices(frame, strategy);
  for (let voices = asked.voices; voices >= strategy.voices[0]; voices -= 1) {
    const voicings = firstFit(strategy, harmony, { ...asked, voices }, levels);
    const { id } = strategy;
    const fallback =
      voices < asked.voices ? `${partCount(asked.voices)} (${partCount(voices)} instead)` : '';
    if (voicings.length > 0) return { voicings, fallback, strategy: id };
  }
  for (const id of strategy.fallbacks) {
    const other = strategyById(id);
    const voicings = firstFit(other, harmony, withVoices(frame, other), levels);
    const fallback = `${strategy.id} (${id} instead)`;
    if (voicings.length > 0) return { voicings, fallback, strategy: id };
  }
  return undefined;
}

const everyLimit: readonly Level[] = [{ widening: 12, givenUp: sounding }];

/** 4 and 5 above. */
function byForce(strategy: Strategy, harmony: Harmony, frame: Frame): Found | undefined {
  const own = firstFit(strategy, harmony, withVoices(frame, strategy), lastLevels);
  if (own.length > 0) return { voicings: own, fallback: '', strategy: strategy.id };
  const close = strategyById('close');
  const voicings = firstFit(close, harmony, withVoices(frame, close), everyLimit);
  if (voicings.length === 0) return undefined;
  const fallback = `${strategy.id} (close instead)`;
  return { voicings, fallback, strategy: 'close' };
}

function find(strategy: Strategy, harmony: Harmony, frame: Frame): Found | undefined {
  return bySubstitution(strategy, harmony, frame) ?? byForce(strategy, harmony, frame);
}

/**
 * Every voicing to choose from, under the first relaxation that leaves any; none for a chord that
 * nothing serves (and the player's notes pass through as they are).
 */
export function candidates(strategyId: StrategyId, harmony: Harmony, frame: Frame): Candidates {
  const strategy = strategyById(strategyId);
  const { lead, ...free } = frame;
  const led = lead === undefined ? undefined : find(strategy, harmony, underLead(frame));
  const found = led ?? find(strategy, harmony, free);
  const technique = found?.strategy ?? strategyId;
  const voicings = (found?.voicings ?? []).map((voicing) => ({ ...voicing, technique }));
  const notes = [lead !== undefined && led === undefined ? 'lead' : '', found?.fallback ?? ''];
  const standing = Float64Array.from(voicings, (voicing) => standingCost(voicing, frame));
  const fallback = notes.filter((note) => note !== '');
  return { voicings, standing, fallback, strategy: technique };
}

/**
 * The cheapest to move to, by its place in the list; -1 for an empty list. Ties go to the one listed
 * first; strategies list in a fixed order, so the same input and history always give the same.
 */
export function cheapestIndex(
  { voicings, standing }: Candidates,
  last: Voicing | undefined,
): number {
  let best = -1;
  let least = Number.POSITIVE_INFINITY;
  for (let index = 0; index < voicings.length; index += 1) {
    const own = standing[index] ?? 0;
    const voicing = voicings[index];
    // A move costs nothing or more, so that one dear for itself need not be measured.
    if (own >= least || voicing === undefined) continue;
    const cost = last === undefined ? own : own + moveCost(last, voicing);
    if (cost < least) {
      best = index;
      least = cost;
    }
  }
  return best;
}

/** What a voicing gives up of what the frame asks, in the order it is given up. */
export function relaxedBy(
  voicing: Voicing,
  { fallback, strategy }: Candidates,
  harmony: Harmony,
  frame: Frame,
): readonly string[] {
  const led = frame.lead === undefined ? frame : underLead(frame);
  const broken = ruleNames.filter((rule) => !keeps(rule, voicing, harmony, led, strategy));
  return [...fallback, ...broken];
}

/** The voicing at a place of the list with what it gives up; undefined when there is none. */
export function chosenAt(
  index: number,
  list: Candidates,
  harmony: Harmony,
  frame: Frame,
): Chosen | undefined {
  const voicing = list.voicings[index];
  if (voicing === undefined) return undefined;
  return { voicing, relaxed: relaxedBy(voicing, list, harmony, frame) };
}

/** The next voicing: the cheapest to move to from `last`. Undefined when there is none. */
export function cheapest(
  list: Candidates,
  last: Voicing | undefined,
  harmony: Harmony,
  frame: Frame,
): Chosen | undefined {
  return chosenAt(cheapestIndex(list, last), list, harmony, frame);
}
