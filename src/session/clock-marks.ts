/** What the stage says of the MIDI clock, as a take keeps it. */
import type { StageState } from '../io/engine/stage-state.ts';
import type { ClockMark } from '../take/take.ts';

/** A tempo nobody knows yet; between two marks it is theirs that counts. */
const anyTempo = 120;

/** Those may have been told before. */
export function clockMarksOf({ tempo }: StageState): readonly ClockMark[] {
  const { clocks = [], beatsPerMinute } = tempo ?? {};
  return clocks.flatMap((clock): ClockMark[] => {
    if (clock.position !== undefined) return [{ ...clock, tempo: beatsPerMinute ?? anyTempo }];
    return beatsPerMinute === undefined ? [] : [{ ...clock, tempo: beatsPerMinute }];
  });
}
