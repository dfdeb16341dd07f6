/**
 * Choosing the next voicing: list, filter, cost, choose. Of the voicings that keep the rules, those
 * are the list that lose least of what is written (loss.ts); the leading chooses among them. When
 * nothing keeps every rule, rules are given up in one stated order, and the result says which: never
 * silence.
 *
 *   1. spacing, then doubling, then reach: the sound gets rougher, not wrong;
 *   2. the registers, wider by 3, 6 and 12 semitones at either end (the bass never below E1), with the
 *      other rules kept as long as they can be;
 *   3. the strategy: under a lead one voice more or two, then fewer voices, then what stands in for it
 *      (each strategy's `fallbacks`),
 *      each by 1 and 2: a neighbouring texture is a smaller loss than a chord without its third, mud
 *      or a minor ninth;
 *   4. a leading tone that sounds once (before 3 where the strategy doubles by definition);
 *   5. guide tones, then low interval limits, then minor ninths, in the strategy asked for or what stands
 *      in for it, whichever loses least;
 *   6. close position with every rule given up, what a player of a part can play last of all; then
 *      the lead, for the nearest one; then the notes pass as played.
 *
 * A written tone that would be lost comes before the number of voices, and before 1: one voice more,
 * one voice fewer, then spacing and doubling, under a lead two voices more, whichever loses least. Where
 * the strategy still loses one that is more than a plain ninth, or doubles another in its place, what
 * stands in for it is the smaller loss (isPoor in loss.ts).
 */

import { partCount } from '../common/words.ts';
import { type Harmony, withSixthForSeventh } from '../harmony/chord/palette.ts';
import { keeps, type RuleName, ruleNames } from './constraints.ts';
import { moveCost, standingCost } from './leading.ts';
import { isPoor } from './loss.ts';
import {
  everyLimit,
  type Fit,
  firstFit,
  type Level,
  lastLevels,
  levels,
  withLeadingTone,
} from './relaxation.ts';
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
  /** The player's own, kept or a shape; absent: what the strategy lists. */
  readonly isOwn?: boolean;
};

const wholeStep = 2;

/** The register widened to hold what is a step from a lead that cannot be had. */
function aroundLead(frame: Frame): Frame {
  const { lead, upper } = frame;
  if (lead === undefined) return frame;
  const lowest = Math.min(upper.lowest, Math.max(0, lead - 12));
  const highest = Math.max(upper.highest, Math.min(127, lead + wholeStep));
  return { ...frame, upper: { lowest, highest } };
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
  /** Of what is written, as loss.ts counts it. */
  readonly loss: number;
};

function voicesInstead(asked: number, voices: number): string {
  if (voices === asked) return '';
  if (Math.abs(voices - asked) > 1) return `${partCount(asked)} (${partCount(voices)} instead)`;
  return `${partCount(asked)} (one voice ${voices > asked ? 'more' : 'fewer'})`;
}

/** Trials that may save a written tone: voices more or fewer, rules given up for it. */
const savings: readonly (readonly [voices: number, givenUp: readonly RuleName[]])[] = [
  [1, []],
  [-1, []],
  [0, ['spacing']],
  [0, ['spacing', 'doubling']],
  [2, []],
];

type Sized = { readonly fit: Fit; readonly voices: number };

/** The same with what is written saved, as far as it can be. */
function saved(first: Sized, strategy: Strategy, harmony: Harmony, frame: Frame): Sized {
  const [fewest, most] = strategy.voices;
  let best = first;
  for (const [more, givenUp] of savings) {
    const voices = first.voices + more;
    if (best.fit.loss === 0) break;
    // Two more is another texture, which only a melody is worth.
    if (voices < fewest || voices > most || (more > 1 && frame.lead === undefined)) continue;
    const fit = firstFit(strategy, harmony, { ...frame, voices }, [{ widening: 0, givenUp }]);
    if (fit.loss < best.fit.loss) best = { fit, voices };
  }
  return best;
}

/** So many voices as are asked for, then fewer; for a lead that they have no room for first more. */
function countsFor({ voices, lead }: Frame, { voices: [fewest, most] }: Strategy): number[] {
  const fewer = Array.from({ length: voices - fewest }, (_, place) => voices - 1 - place);
  const more = lead === undefined ? [] : [voices + 1, voices + 2].filter((count) => count <= most);
  return [voices, ...more, ...fewer];
}

/** 1 and 2 above, and then with other numbers of voices. */
function byItself(
  strategy: Strategy,
  harmony: Harmony,
  frame: Frame,
  order: readonly Level[],
): Found | undefined {
  const asked = withVoices(frame, strategy);
  for (const voices of countsFor(asked, strategy)) {
    const fit = firstFit(strategy, harmony, { ...asked, voices }, order);
    if (fit.voicings.length === 0) continue;
    const best = saved({ fit, voices }, strategy, harmony, asked);
    const { voicings } = best.fit;
    const whole =
      best.fit.loss === 0
        ? voicings
        : voicings.filter((each) => !isPoor(each, harmony, strategy, frame));
    return {
      voicings: whole.length > 0 ? whole : voicings,
      fallback: voicesInstead(asked.voices, best.voices),
      strategy: strategy.id,
      loss: best.fit.loss,
    };
  }
  return undefined;
}

/** A list has poor voicings only where it has no others: the first tells. */
function isPoorest(
  { voicings: [first], strategy }: Found,
  harmony: Harmony,
  frame: Frame,
): boolean {
  return first !== undefined && isPoor(first, harmony, strategyById(strategy), frame);
}

/** 1 to 4 above: the strategy, with fewer voices, by what stands in for it. */
function bySubstitution(strategy: Strategy, harmony: Harmony, frame: Frame): Found | undefined {
  const own =
    byItself(strategy, harmony, frame, levels) ??
    (strategy.doubling.tones ? byItself(strategy, harmony, frame, withLeadingTone) : undefined);
  let best = own;
  for (const id of strategy.fallbacks) {
    if (best !== undefined && !isPoorest(best, harmony, frame)) break;
    const found = byItself(strategyById(id), harmony, frame, levels);
    // Of those that lose as much, the one that is nearer to what was asked for.
    if (found === undefined || found.loss >= (best?.loss ?? Number.POSITIVE_INFINITY)) continue;
    best = { ...found, fallback: `${strategy.id} (${id} instead)` };
  }
  return best ?? byItself(strategy, harmony, frame, withLeadingTone);
}

/** 5 and 6 above. */
function byForce(strategy: Strategy, harmony: Harmony, frame: Frame): Found | undefined {
  let best: Found | undefined;
  for (const own of [strategy, ...strategy.fallbacks.map(strategyById)]) {
    const fit = firstFit(own, harmony, withVoices(frame, own), lastLevels);
    if (fit.voicings.length === 0 || fit.loss >= (best?.loss ?? Number.POSITIVE_INFINITY)) continue;
    const fallback = own === strategy ? '' : `${strategy.id} (${own.id} instead)`;
    best = { ...fit, fallback, strategy: own.id };
  }
  if (best !== undefined) return best;
  const close = strategyById('close');
  const forced = firstFit(close, harmony, withVoices(frame, close), everyLimit);
  if (forced.voicings.length === 0) return undefined;
  const fallback = `${strategy.id} (close instead)`;
  return { ...forced, fallback, strategy: 'close' };
}

function find(strategy: Strategy, harmony: Harmony, frame: Frame): Found | undefined {
  return bySubstitution(strategy, harmony, frame) ?? byForce(strategy, harmony, frame);
}

/** Of voicings without the lead, those with a top a step away at most; else those nearest to it. */
function nearestTo(lead: number, found: Found): Found {
  const away = ({ upper }: Voicing): number => Math.abs((upper.at(-1) ?? 0) - lead);
  const least = found.voicings.reduce((near, voicing) => Math.min(near, away(voicing)), 127);
  const most = Math.max(least, wholeStep);
  return { ...found, voicings: found.voicings.filter((voicing) => away(voicing) <= most) };
}

/** A melody on the root has a sixth below it in place of a seventh that nobody wrote. */
function underMelody(harmony: Harmony, { bass }: Frame, lead: number): Harmony {
  const isOnRoot = lead % 12 === harmony.chord.root;
  // A seventh that was asked for in the bass stays there.
  if (!isOnRoot || bass.policy === 'seventh') return harmony;
  return { ...harmony, palette: withSixthForSeventh(harmony.palette) };
}

/**
 * Every voicing to choose from, under the first relaxation that leaves any; none for a chord that
 * nothing serves (and the player's notes pass through as they are).
 */
export function candidates(strategyId: StrategyId, harmony: Harmony, frame: Frame): Candidates {
  const strategy = strategyById(strategyId);
  const { lead, ...free } = aroundLead(frame);
  const led =
    lead === undefined
      ? undefined
      : find(strategy, underMelody(harmony, frame, lead), underLead(frame));
  const other = led ?? find(strategy, harmony, free);
  const isLeadLost = lead !== undefined && led === undefined;
  const found = isLeadLost && other !== undefined ? nearestTo(lead, other) : other;
  const technique = found?.strategy ?? strategyId;
  const voicings = (found?.voicings ?? []).map((voicing) => ({ ...voicing, technique }));
  const notes = [isLeadLost ? 'lead' : '', found?.fallback ?? ''];
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
  { fallback, strategy, isOwn = false }: Candidates,
  harmony: Harmony,
  frame: Frame,
): readonly string[] {
  const led = fallback.includes('lead') ? aroundLead(frame) : underLead(frame);
  const { doubling } = strategyById(strategy);
  const broken = ruleNames.filter((rule) => !keeps(rule, voicing, harmony, led, doubling));
  // The bass of what the player has kept or shaped is the player's word.
  const given = isOwn ? broken.filter((rule) => rule !== 'bass policy') : broken;
  return [...fallback, ...given];
}

type GivenUp = Harmony & {
  readonly fallback: readonly string[];
  readonly frame: Frame;
  readonly relaxed: readonly string[];
};

/** Of voicings as they were last chosen: most are played again. */
const givenUp = new WeakMap<Voicing, GivenUp>();

/** The voicing at a place of the list with what it gives up; undefined when there is none. */
export function chosenAt(
  index: number,
  list: Candidates,
  harmony: Harmony,
  frame: Frame,
): Chosen | undefined {
  const voicing = list.voicings[index];
  if (voicing === undefined) return undefined;
  const known = givenUp.get(voicing);
  const { chord, palette } = harmony;
  const { fallback } = list;
  const isSameChord = known?.chord === chord && known.palette === palette;
  if (isSameChord && known.fallback === fallback && known.frame === frame) {
    return { voicing, relaxed: known.relaxed };
  }
  const relaxed = relaxedBy(voicing, list, harmony, frame);
  givenUp.set(voicing, { chord, palette, fallback, frame, relaxed });
  return { voicing, relaxed };
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
