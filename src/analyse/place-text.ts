/** Places in a piece as text. */
import type { Place } from './passage.ts';

const parts: Readonly<Record<number, string>> = {
  25: '1/4',
  33: '1/3',
  50: '1/2',
  67: '2/3',
  75: '3/4',
};

/** '3.1'; '3.2+1/2' for the half of the second beat. */
export function placeText({ bar, beat }: Place): string {
  const whole = Math.floor(beat);
  const part = parts[Math.round((beat - whole) * 100)];
  return part === undefined ? `${bar}.${whole}` : `${bar}.${whole}+${part}`;
}
