/**
 * How loud each voice is: the player's own touch, spread over the voices from low to high. The
 * lowest voice takes the lowest key's velocity, the top voice the top key's, those between lie
 * between; no voice is ever louder than the loudest key.
 */
export type Touch = { readonly note: number; readonly velocity: number };

/** Velocities 1–127 for `voices` voices, lowest first. `keys` in any order, at least one. */
export function spreadVelocities(keys: readonly Touch[], voices: number): number[] {
  const played = [...keys].sort((one, other) => one.note - other.note).map((key) => key.velocity);
  const last = played.length - 1;
  return Array.from({ length: voices }, (_, voice) => {
    const place = voices === 1 ? last : (voice * last) / (voices - 1);
    const below = played[Math.floor(place)] ?? 64;
    const above = played[Math.ceil(place)] ?? below;
    return Math.max(1, Math.round(below + (above - below) * (place - Math.floor(place))));
  });
}
