/** What the stage says of the MIDI clock, as a take keeps it. */
import type { StageState } from '../io/stage-state.ts';
import type { ClockMark } from '../take/take.ts';

/** Undefined while no clock comes. */
export function clockMarkOf({ tempo }: StageState): ClockMark | undefined {
  const { lastClock, beatsPerMinute } = tempo ?? {};
  if (lastClock === undefined || beatsPerMinute === undefined) return undefined;
  return { ...lastClock, tempo: beatsPerMinute };
}
