/** Which keyboard of the engine a note of a file is played on. */
import type { Message } from '../midi/message.ts';
import { isNote, keyOf } from './moment.ts';
import { createQueue, type Queue } from './queue.ts';

/**
 * Fewer than the engine tells apart: more strokes of one pitch at once are no music, and each costs
 * whatever is played beside it.
 */
const sources = 4;

/**
 * Two notes of one pitch may overlap in a file; for the engine they are keys of two keyboards. The
 * first that began is the first to end.
 */
export function createSources(): { readonly sourceOf: (message: Message) => number } {
  type Key = { readonly order: Queue<number>; readonly counts: number[] };
  const keys = new Map<number, Key>();
  const free = ({ counts }: Key): number => {
    const place = counts.indexOf(0);
    return place < 0 ? sources - 1 : place;
  };
  return {
    sourceOf(message) {
      if (!isNote(message)) return 0;
      const slot = keyOf(message);
      const key = keys.get(slot) ?? {
        order: createQueue<number>(),
        counts: Array(sources).fill(0),
      };
      keys.set(slot, key);
      const isEnd = message.type === 'noteOff';
      const source = isEnd ? (key.order.shift() ?? 0) : free(key);
      if (!isEnd) key.order.add(source);
      key.counts[source] = Math.max(0, (key.counts[source] ?? 0) + (isEnd ? -1 : 1));
      return source;
    },
  };
}
