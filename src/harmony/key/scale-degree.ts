/**
 * The triads of a key by scale degree, for playing without a keyboard. Minor keys take the major
 * dominant of the harmonic minor and otherwise the natural minor. Definition; common practice.
 */
import type { Key } from './key.ts';

const scales = {
  major: [0, 2, 4, 5, 7, 9, 11],
  minor: [0, 2, 3, 5, 7, 8, 10],
} as const;

const leadingTone = 11;
const dominant = 5;

/** Root position from C4 (60) upwards; `degree` 1–7. Notes low → high. */
export function triadOnDegree(key: Key, degree: number): number[] {
  const scale = scales[key.mode];
  const tones = [0, 2, 4].map((third) => {
    const step = degree - 1 + third;
    const octave = Math.floor(step / 7) * 12;
    return (scale[step % 7] ?? 0) + octave;
  });
  if (key.mode === 'minor' && degree === dominant) tones[1] = leadingTone;
  const root = 60 + ((key.pitchClass + (tones[0] ?? 0)) % 12);
  return tones.map((tone) => root + tone - (tones[0] ?? 0));
}
