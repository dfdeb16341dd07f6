/**
 * Rules over one voicing, as predicates that answer true when the voicing keeps them. Notes run
 * lowest → highest. Numbers with sources stand in shared/low-interval-limits.json.
 */
import table from '../../shared/low-interval-limits.json' with { type: 'json' };
import type { Harmony } from '../harmony/palette.ts';
import { has } from '../harmony/pitch-class-set.ts';
import type { Voicing } from './voicing.ts';

const lowest: number[] = new Array(128).fill(0);
for (const { semitones, lowest: limit } of table.limits) lowest[semitones] = limit;

/**
 * No interval stands lower than its limit; every pair of notes counts, not only neighbours.
 * Source of the rule: D. Lowell and K. Pullig, Arranging for Large Jazz Ensemble.
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

/**
 * No minor ninth (13, 25 … semitones) between voices, but for the flat ninth over the root.
 * Source: C. Israels, Exploring Jazz Arranging, lesson 5.
 */
export function keepsMinorNinths(notes: readonly number[], harmony: Harmony): boolean {
  const root = harmony.chord.root;
  for (let low = 0; low < notes.length; low += 1) {
    const bottom = notes[low] ?? 0;
    for (let high = low + 1; high < notes.length; high += 1) {
      const interval = (notes[high] ?? 0) - bottom;
      if (interval > 12 && interval % 12 === 1 && bottom % 12 !== root) return false;
      if (interval > 12 && interval % 12 === 1 && !allowsFlatNinth(harmony)) return false;
    }
  }
  return true;
}

/** The root may carry a minor ninth only where the b9 belongs to the chord. */
function allowsFlatNinth(harmony: Harmony): boolean {
  return has(harmony.palette.universe, 1);
}

/** Largest distance between neighbouring upper voices, in semitones: common practice, no source. */
export const largestUpperGap = 12;
/** Largest distance from the bass to the next voice: beyond it the middle is empty (no source). */
export const largestBassGap = 28;

/** Upper voices no further apart than an octave; the bass not lost below them. */
export function keepsSpacing(voicing: Voicing): boolean {
  const { bass, upper } = voicing;
  const isLost = bass !== undefined && (upper[0] ?? 0) - bass > largestBassGap;
  const isTorn = upper.some((note, index) => {
    const below = upper[index - 1];
    return below !== undefined && note - below > largestUpperGap;
  });
  return !isLost && !isTorn;
}

/**
 * No semitone between the two top voices: it blurs the line on top.
 * Source: C. Israels, Exploring Jazz Arranging, lesson 5.
 */
export function keepsTopClear(voicing: Voicing): boolean {
  const top = voicing.upper.at(-1) ?? 0;
  const next = voicing.upper.at(-2);
  return next === undefined || top - next !== 1;
}

/** Pairs of tensions, as semitones above the root, that contradict each other in one voicing. */
const contradictions: readonly (readonly [number, number])[] = [
  [2, 1],
  [2, 3],
  [9, 8],
];

/**
 * A natural ninth excludes the altered ones, a natural thirteenth the flat one, unless the chord
 * itself is made of both. Common practice, no source.
 */
export function keepsOneColour(voicing: Voicing, harmony: Harmony): boolean {
  const { palette, chord } = harmony;
  if (!palette.isDominant) return true;
  const sounding = voicing.notes.reduce(
    (mask, note) => mask | (1 << ((note - chord.root + 120) % 12)),
    0,
  );
  return contradictions.every(([one, other]) => {
    const bothNamed = has(palette.chordTones, one) && has(palette.chordTones, other);
    return bothNamed || !(has(sounding, one) && has(sounding, other));
  });
}
