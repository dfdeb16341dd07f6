/**
 * Which of a strategy's members a frame allows: those that keep the rules, and of them those that
 * lose least of what is written. Where none keeps every rule, rules are given up in the order that
 * choose.ts states.
 */
import data from '../../shared/voicing-limits.json' with { type: 'json' };
import type { Harmony } from '../harmony/chord/palette.ts';
import { keeps, keepsOneColour, type RuleName, ruleNames } from './constraints.ts';
import { lossIn } from './loss.ts';
import type { Register } from './register.ts';
import type { Frame, Strategy, Voicing } from './voicing.ts';

const { limits } = data;

export type Level = {
  /** Semitones by which the registers are wider, at each end. */
  readonly widening: number;
  readonly givenUp: readonly RuleName[];
};

const soft: readonly RuleName[] = ['spacing', 'doubling', 'reach'];

/** All rules first; then, one by one, the order in which they are given up (1 and 2 in choose.ts). */
export const levels: readonly Level[] = [
  { widening: 0, givenUp: [] },
  { widening: 0, givenUp: ['spacing'] },
  { widening: 0, givenUp: ['spacing', 'doubling'] },
  { widening: 0, givenUp: soft },
  { widening: 3, givenUp: [] },
  { widening: 6, givenUp: [] },
  { widening: 12, givenUp: [] },
  { widening: 12, givenUp: soft },
];

/** 4. */
export const withLeadingTone: readonly Level[] = levels.map(({ widening, givenUp }) => ({
  widening,
  givenUp: [...givenUp, 'leading tone'],
}));
/** 5. */
const rough: readonly RuleName[] = [...soft, 'leading tone', 'guide tones'];
export const lastLevels: readonly Level[] = [
  { widening: 0, givenUp: rough },
  { widening: 12, givenUp: rough },
  { widening: 0, givenUp: [...rough, 'low interval limits'] },
  { widening: 12, givenUp: [...rough, 'low interval limits'] },
  { widening: 12, givenUp: [...rough, 'low interval limits', 'minor ninths'] },
];

/** Kept by construction, so that members need not be judged by them. */
const constructed: readonly RuleName[] = [
  'bass policy',
  'register of the upper voices',
  'register of the bass',
];
const sounding = ruleNames.filter((rule) => !constructed.includes(rule));

/** 6: close position, whatever it breaks; what a player cannot play comes last of all. */
export const everyLimit: readonly Level[] = [
  { widening: 12, givenUp: sounding.filter((rule) => rule !== 'range of a player') },
  { widening: 12, givenUp: sounding },
];

/** E1, the lowest note of a bass: below it, only what the frame itself asks for. */
const lowestBass = limits.lowestBass.value;

function widened(frame: Frame, semitones: number): Frame {
  if (semitones === 0) return frame;
  const wider = (register: Register, floor: number): Register => ({
    lowest: Math.min(register.lowest, Math.max(floor, register.lowest - semitones)),
    highest: Math.min(127, register.highest + semitones),
  });
  const bass = { ...frame.bass, ...wider(frame.bass, lowestBass) };
  return { ...frame, upper: wider(frame.upper, 0), bass };
}

/** A pedal with a note of its own stays under a written bass, too; the result says so. */
function rulesIn({ bass }: Frame): readonly RuleName[] {
  return bass.policy === 'pedal' ? sounding.filter((rule) => rule !== 'written bass') : sounding;
}

/** A strategy's members that the chord, the lead and the ceiling allow at all. */
function allowed(members: readonly Voicing[], harmony: Harmony, frame: Frame): Voicing[] {
  const { lead, ceiling = 127 } = frame;
  return members.filter((voicing) => {
    const top = voicing.upper.at(-1) ?? 0;
    return (
      top <= ceiling && (lead === undefined || top === lead) && keepsOneColour(voicing, harmony)
    );
  });
}

function membersOf(strategy: Strategy, harmony: Harmony, frame: Frame): readonly Voicing[] {
  const own = strategy.members(harmony, frame);
  return strategy.licensed === undefined ? own : [...own, ...strategy.licensed(harmony, frame)];
}

/** What keeps the rules and loses least of what is written. */
export type Fit = {
  readonly voicings: readonly Voicing[];
  /** Of each of them; infinite where there are none. */
  readonly loss: number;
};

const none: Fit = { voicings: [], loss: Number.POSITIVE_INFINITY };

/** Of the members, those that keep all rules but these, and lose least. */
function fitOf(
  members: readonly Voicing[],
  givenUp: readonly RuleName[],
  strategy: Strategy,
  harmony: Harmony,
  frame: Frame,
): Fit {
  const rules = rulesIn(frame).filter((rule) => !givenUp.includes(rule));
  const loss = lossIn(harmony, frame, strategy);
  let least = none.loss;
  let voicings: Voicing[] = [];
  for (const voicing of members) {
    if (!rules.every((rule) => keeps(rule, voicing, harmony, frame, strategy.doubling))) continue;
    const own = loss(voicing);
    if (own > least) continue;
    if (own < least) voicings = [];
    least = own;
    voicings.push(voicing);
  }
  return { voicings, loss: least };
}

/** The members under the first level of rules that leaves any. */
export function firstFit(
  strategy: Strategy,
  harmony: Harmony,
  frame: Frame,
  order: readonly Level[],
): Fit {
  let members: readonly Voicing[] = [];
  let wider = frame;
  let width = -1;
  for (const { widening, givenUp } of order) {
    if (widening !== width) {
      wider = widened(frame, widening);
      members = allowed(membersOf(strategy, harmony, wider), harmony, wider);
    }
    width = widening;
    const fit = fitOf(members, givenUp, strategy, harmony, wider);
    if (fit.loss > 0 && strategy.atNeed !== undefined) {
      const needed = allowed(strategy.atNeed(harmony, wider), harmony, wider);
      const eased = fitOf(needed, givenUp, strategy, harmony, wider);
      if (eased.loss < fit.loss) return eased;
    }
    if (fit.voicings.length > 0) return fit;
  }
  return none;
}
