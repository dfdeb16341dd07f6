/** How loud: the player's level in decibels, and a limit that no number of voices passes. */
import type { Tone } from './timbre.ts';

/** Decibels. At 0 five voices of a usual velocity peak about 10 dB below full scale. */
export const levels = { first: -10, file: 0, softest: -40, loudest: 6, step: 3 } as const;

/** No sum of voices passes it: 1.5 dB below full scale. */
export const ceiling = 0.84;

export function amplitudeOf(decibels: number): number {
  return 10 ** (decibels / 20);
}

/** The nearest level there is. */
export function boundedLevel(decibels: number): number {
  return Math.min(levels.loudest, Math.max(levels.softest, decibels));
}

/** Of a tone `time` seconds after it began, without an end: the most it can reach from then on. */
export function levelAfter(tone: Tone, time: number): number {
  return tone.layers.reduce(
    (sum, { amplitude, decay }) =>
      sum + amplitude * (decay === undefined ? 1 : Math.exp(-Math.max(0, time) / decay)),
    0,
  );
}

/** What a tone has on either side; equal power, as Web Audio's StereoPanner places a mono source. */
export function sidesOf(pan: number): readonly [left: number, right: number] {
  const angle = ((pan + 1) / 2) * (Math.PI / 2);
  return [Math.cos(angle), Math.sin(angle)];
}

/**
 * The gain of the whole: `wished`, or less where all voices at their loudest at the same moment would
 * pass the ceiling. The voices are known before they sound, so that nothing is delayed to look ahead,
 * and nothing is bent: it is one factor for all.
 */
export function gainUnder(wished: number, left: number, right: number): number {
  const most = Math.max(left, right);
  return most * wished > ceiling ? ceiling / most : wished;
}

/** A gain on its way: `start` at the time `at`; a part in e of the way is left `within` seconds later. */
export type Approach = {
  readonly at: number;
  readonly start: number;
  readonly gain: number;
  readonly within: number;
};

export function gainAt({ at, start, gain, within }: Approach, now: number): number {
  return gain + (start - gain) * Math.exp((at - now) / within);
}
