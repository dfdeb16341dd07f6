/**
 * Rules over one voicing, as predicates that answer true when the voicing keeps them. Notes run
 * lowest → highest. Numbers and their sources stand in shared/low-interval-limits.json and
 * shared/voicing-limits.json.
 */
import intervals from '../../shared/low-interval-limits.json' with { type: 'json' };
import data from '../../shared/voicing-limits.json' with { type: 'json' };
import type { Harmony, Palette } from '../harmony/chord/palette.ts';
import { isDegree, semitonesOf } from '../harmony/pitch/degree.ts';
import { has } from '../harmony/pitch/pitch-class-set.ts';
import { bassesOf } from './bass.ts';
import { isPlayable } from './hands.ts';
import { effortFor } from './players.ts';
import type { Doubling, Frame, Voicing } from './voicing.ts';

const { limits } = data;

const lowest: number[] = new Array(128).fill(0);
for (const row of intervals.limits) lowest[row.semitones] = row.lowest;

/**
 * No interval stands lower than its limit; every pair of notes counts, not only neighbours.
 * Source of the rule: D. Lowell and K. Pullig, Arranging for Large Jazz Ensemble. The same page has a
 * root assumed right below a voicing that has another lowest note. That is left out: it is meant for
 * horns without a bass, and half of the left-hand forms that handbooks print (constraints.test.ts) would
 * break it, over a bass player who is an octave lower.
 */
export function keepsLowIntervalLimits(notes: readonly number[]): boolean {
  for (let low = 0; low < notes.length; low += 1) {
    const bottom = notes[low] ?? 0;
    for (let high = low + 1; high < notes.length; high += 1) {
      if (bottom < (lowest[(notes[high] ?? 0) - bottom] ?? 0)) return false;
    }
  }
  return true;
}

function isMinorNinth(interval: number): boolean {
  return interval >= limits.minorNinth.value && interval % 12 === 1;
}

/** The root may carry a minor ninth only where the b9 belongs to the chord. */
function allowsFlatNinth(palette: Palette): boolean {
  return has(palette.universe, 1);
}

/**
 * No minor ninth (13, 25 … semitones) between voices, but for the flat ninth over the root; and over
 * `written`, a lowest note that was put there: the root above a lower seventh (C. Israels, Exploring
 * Jazz Arranging, lesson 5: 'occasionally'), or a tone that the symbol names.
 */
export function keepsMinorNinths(
  notes: readonly number[],
  harmony: Harmony,
  written?: number,
): boolean {
  const { chord, palette } = harmony;
  const meant = palette.named | 1;
  for (let low = 0; low < notes.length; low += 1) {
    const bottom = notes[low] ?? 0;
    const isExempt =
      (bottom % 12 === chord.root && allowsFlatNinth(palette)) ||
      (bottom === written && has(meant, (bottom + 1 - chord.root + 120) % 12));
    for (let high = low + 1; high < notes.length; high += 1) {
      if (!isExempt && isMinorNinth((notes[high] ?? 0) - bottom)) return false;
    }
  }
  return true;
}

/**
 * The same under a held bass: the pedal belongs to no chord, so that only the upper voices are
 * measured among themselves (common practice, no source).
 */
function clears(voicing: Voicing, harmony: Harmony, frame: Frame): boolean {
  const isPedal = frame.bass.policy === 'pedal' && frame.bass.pedal !== undefined;
  const written = frame.bass.policy === 'as-played' ? voicing.bass : undefined;
  return keepsMinorNinths(isPedal ? voicing.upper : voicing.notes, harmony, written);
}

/** Upper voices no further apart than an octave; the bass not lost below them. */
export function keepsSpacing(voicing: Voicing): boolean {
  const { bass, upper } = voicing;
  if (bass !== undefined && (upper[0] ?? 0) - bass > limits.bassGap.value) return false;
  return widestGap(upper) <= limits.upperGap.value;
}

/** Largest distance between neighbours, in semitones. */
export function widestGap(notes: readonly number[]): number {
  let widest = 0;
  for (let voice = 1; voice < notes.length; voice += 1) {
    widest = Math.max(widest, (notes[voice] ?? 0) - (notes[voice - 1] ?? 0));
  }
  return widest;
}

/** No semitone between the two top voices: it blurs the line on top. */
export function keepsTopClear(voicing: Voicing): boolean {
  const top = voicing.upper.at(-1) ?? 0;
  const next = voicing.upper.at(-2);
  return next === undefined || top - next >= limits.topStep.value;
}

function semitones(degree: string): number {
  if (!isDegree(degree)) throw new Error(`shared/voicing-limits.json: no degree ${degree}`);
  return semitonesOf(degree);
}

const contradictions = data.contradictions.pairs.map((pair) => pair.map(semitones));

function maskFromRoot(notes: readonly number[], root: number): number {
  return notes.reduce((mask, note) => mask | (1 << ((note - root + 120) % 12)), 0);
}

/**
 * A natural ninth excludes the altered ones, a natural thirteenth the flat one, unless the chord
 * itself is made of both; where it is made of one, the other would belie its symbol.
 */
export function keepsOneColour(voicing: Voicing, harmony: Harmony): boolean {
  const { palette, chord } = harmony;
  if (!palette.isDominant) return true;
  // A bass that is held or foreign belongs to no colour; any other is a chord tone.
  const sounding = maskFromRoot(voicing.upper, chord.root);
  return contradictions.every((pair) => {
    const named = pair.filter((tone) => has(palette.chordTones, tone));
    if (named.length === pair.length) return true;
    const [only] = named;
    if (only === undefined) return !pair.every((tone) => has(sounding, tone));
    return pair.every((tone) => tone === only || !has(sounding, tone));
  });
}

const doublings = data.doubling.degrees.map(semitones);

/** No seventh, altered tone or tension twice among the upper voices and the bass. */
export function keepsDoubling(notes: readonly number[], harmony: Harmony): boolean {
  const { chord, palette } = harmony;
  let once = 0;
  for (const note of notes) {
    const above = (note - chord.root + 120) % 12;
    const isStable = doublings.includes(above) && has(palette.chordTones, above);
    if (has(once, above) && !isStable) return false;
    once |= 1 << above;
  }
  return true;
}

/**
 * A leading tone, as the third of a dominant is, sounds once at most: it has one way to go. Where both
 * the melody and the bass are asked to have it, it sounds in these two and no others.
 */
export function keepsLeadingTone(
  { notes, bass }: Pick<Voicing, 'notes' | 'bass'>,
  harmony: Harmony,
  frame?: Frame,
): boolean {
  const { chord, palette } = harmony;
  const leads = (note: number | undefined): boolean =>
    note !== undefined && has(palette.leadingTones, (note - chord.root + 120) % 12);
  const isBassAsked = frame?.bass.policy === 'as-played' || frame?.bass.policy === 'third';
  const isTwiceAsked = isBassAsked && leads(frame?.lead) && leads(bass);
  return notes.filter(leads).length <= (isTwiceAsked ? 2 : 1);
}

/** What stands written under the chord, or is held apart under it, lies there. */
function isWrittenBass({ bass }: Voicing, frame: Frame): boolean {
  const { written } = frame.bass;
  return bass === undefined || written === undefined || bass % 12 === written;
}

/** Strategies that stand on the root by definition keep it there, whatever was asked. */
function isBassAsAsked({ bass }: Voicing, harmony: Harmony, frame: Frame): boolean {
  if (bass === undefined) return true;
  const interval = (bass - harmony.chord.root + 120) % 12;
  return bassesOf(harmony, frame).some((each) => each.interval === interval);
}

/** Names of the rules, in the words of a result. */
export const ruleNames = [
  'written bass',
  'bass policy',
  'spacing',
  'doubling',
  'leading tone',
  'reach',
  'guide tones',
  'register of the upper voices',
  'register of the bass',
  'low interval limits',
  'minor ninths',
  'range of a player',
] as const;
export type RuleName = (typeof ruleNames)[number];

function allowsLeadingTone({ leadingTone }: Doubling, { palette }: Harmony): boolean {
  return leadingTone === 'always' || (leadingTone === 'outside dominants' && !palette.isDominant);
}

/**
 * True when the voicing keeps the rule, the registers being those of the frame. `doubling`: what
 * the strategy whose voicing it is has twice by definition.
 */
export function keeps(
  rule: RuleName,
  voicing: Voicing,
  harmony: Harmony,
  frame: Frame,
  doubling: Doubling,
): boolean {
  const { upper, bass } = frame;
  switch (rule) {
    case 'written bass':
      return isWrittenBass(voicing, frame);
    case 'bass policy':
      return !isWrittenBass(voicing, frame) || isBassAsAsked(voicing, harmony, frame);
    case 'spacing':
      return keepsSpacing(voicing) && keepsTopClear(voicing);
    case 'doubling':
      return doubling.tones || keepsDoubling(voicing.notes, harmony);
    case 'leading tone':
      return allowsLeadingTone(doubling, harmony) || keepsLeadingTone(voicing, harmony, frame);
    case 'reach':
      return frame.reach === undefined || isPlayable(voicing, frame.reach);
    case 'guide tones':
      return voicing.isIncomplete !== true;
    case 'register of the upper voices':
      return (
        (voicing.upper[0] ?? 0) >= upper.lowest && (voicing.upper.at(-1) ?? 0) <= upper.highest
      );
    case 'register of the bass':
      return (
        voicing.bass === undefined ||
        bass.policy === 'pedal' ||
        (voicing.bass >= bass.lowest && voicing.bass <= bass.highest)
      );
    case 'low interval limits':
      return keepsLowIntervalLimits(voicing.notes);
    case 'minor ninths':
      return clears(voicing, harmony, frame);
    case 'range of a player':
      return (
        frame.players === undefined ||
        effortFor(voicing.notes, frame.players) < Number.POSITIVE_INFINITY
      );
  }
}
