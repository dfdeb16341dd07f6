/**
 * How loud each voice is: the player's own touch, spread over the voices from low to high, then
 * balanced as the preset says. The lowest voice takes the lowest key's velocity, the top voice the
 * top key's, those between lie between.
 */
import { sortedBy } from '../common/sorted-by.ts';
import { type Balance, loudestLift } from '../presets/playing.ts';
import type { Stated } from './stated-chord.ts';

export type Touch = {
  readonly note: number;
  readonly velocity: number;
  /** It came with the symbol of its chord. */
  readonly stated?: Stated;
};

/** Velocities 1–127 for `voices` voices, lowest first. `keys` in any order, at least one. */
export function spreadVelocities(keys: readonly Touch[], voices: number): number[] {
  const played = sortedBy(keys, (key) => key.note);
  const last = played.length - 1;
  const velocities = new Array<number>(voices);
  for (let voice = 0; voice < voices; voice += 1) {
    const place = voices === 1 ? last : (voice * last) / (voices - 1);
    const below = played[Math.floor(place)]?.velocity ?? 64;
    const above = played[Math.ceil(place)]?.velocity ?? below;
    const between = (above - below) * (place - Math.floor(place));
    velocities[voice] = Math.max(1, Math.round(below + between));
  }
  return velocities;
}

/**
 * Top forward, inner back: adds the balance, and never exceeds the loudest of the velocities by
 * more than `loudestLift`.
 */
export function balanceVelocities(
  velocities: readonly number[],
  hasBass: boolean,
  balance: Balance,
): number[] {
  const most = Math.min(127, Math.max(...velocities) + loudestLift);
  return velocities.map((velocity, voice) => {
    const isTop = voice === velocities.length - 1;
    const isBass = voice === 0 && hasBass && !isTop;
    const change = isTop ? balance.top : isBass ? balance.bass : balance.inner;
    return Math.max(1, Math.min(most, velocity + change));
  });
}
