/** How long a message stands: long enough to be read twice by somebody who plays; help has it for longer. */
import type { Size } from './frame/layout.ts';

/** Milliseconds. */
const times = { word: 600, least: 4_000, most: 20_000 } as const;
/** Where a message takes the room of what is played, it is there to be read once. */
const fewRows = 16;

/** Milliseconds. */
export function messageMsOf(message: string, { rows }: Size): number {
  const words = message.split(/\s+/).filter(Boolean).length;
  const time = rows < fewRows ? (words * times.word) / 2 : words * times.word;
  return Math.min(times.most, Math.max(times.least, time));
}
