/** A voicing that was chosen after the chord had ended, and has not sounded. */
import type { ChordReport } from '../live/snapshot.ts';

/** What is kept of a chord that has ended may have sounded before. */
export function isForNextTime({ isUnheard, kept }: ChordReport): boolean {
  return isUnheard === true && kept === undefined;
}
