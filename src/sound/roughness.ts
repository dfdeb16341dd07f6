/**
 * How rough notes are together, by a published model: W. Hutchinson and L. Knopoff, 'The acoustic
 * component of Western consonance', Interface 7 (1978). Every pair of partials adds the product of
 * its amplitudes, weighed by how far apart the two are in critical bandwidths; the sum is divided by
 * that of the squared amplitudes. Tones have ten harmonics of amplitude 1/n.
 *
 * The curve, which the authors read off a drawing, is R. Parncutt's: g(x) = (e x/a exp(-x/a))² with
 * a = 0.25, and 0 above 1.2 critical bandwidths, 'within a few percent' of their figures; so also P.
 * Harrison and M. Pearce, 'Simultaneous consonance in music perception and composition',
 * Psychological Review 127 (2020).
 */
import { frequencyOf } from './pitch.ts';

/** What has to be said wherever a figure of the model stands. */
export const roughnessModel = {
  name: 'Hutchinson and Knopoff 1978',
  source:
    "W. Hutchinson and L. Knopoff, 'The acoustic component of Western consonance', Interface 7 (1978)",
  limits:
    'It knows steady tones of ten harmonics alone, all equally loud and in equal temperament: nothing of the instrument, of what came before, of style or of taste; low and close notes are rougher in it, and the number of voices counts little.',
} as const;

const harmonics = 10;
/** The interval of most roughness, in critical bandwidths. */
const roughest = 0.25;
/** Beyond it two partials are smooth together. */
const farthest = 1.2;

/** @returns hertz. */
export function criticalBandwidth(one: number, other: number): number {
  return 1.72 * ((one + other) / 2) ** 0.65;
}

/** @param distance between two partials in critical bandwidths. @returns 0 to 1. */
export function roughnessOfPair(distance: number): number {
  if (distance > farthest) return 0;
  const x = distance / roughest;
  return (Math.E * x * Math.exp(-x)) ** 2;
}

/**
 * @param notes MIDI note numbers. @param partials harmonics of each.
 * @returns 0 for a single sine; about 0.5 for a semitone on middle C.
 */
export function roughnessOf(notes: readonly number[], partials = harmonics): number {
  const all = notes
    .flatMap((note) =>
      Array.from({ length: partials }, (_, place) => ({
        frequency: frequencyOf(note) * (place + 1),
        amplitude: 1 / (place + 1),
      })),
    )
    .sort((one, other) => one.frequency - other.frequency);
  let rough = 0;
  let loud = 0;
  all.forEach((lower, place) => {
    loud += lower.amplitude ** 2;
    for (let above = place + 1; above < all.length; above += 1) {
      const upper = all[above];
      if (upper === undefined) break;
      const band = criticalBandwidth(lower.frequency, upper.frequency);
      const distance = (upper.frequency - lower.frequency) / band;
      // Further up the distance only grows.
      if (distance > farthest) break;
      rough += lower.amplitude * upper.amplitude * roughnessOfPair(distance);
    }
  });
  return loud === 0 ? 0 : rough / loud;
}
