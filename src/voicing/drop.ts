/**
 * Dropped voices: of a four-part close voicing, voices counted from the top, one or two sound an
 * octave lower. The bass line is not counted, and the lead never changes.
 * Source of the counting: D. Terefenko, Jazz Theory, p. 47, fig. 4.15 (read second-hand).
 */
import type { Harmony } from '../harmony/chord/palette.ts';
import { overEach, type Upper } from './bass.ts';
import { closeUppers } from './close.ts';
import type { Frame, Strategy, StrategyId } from './voicing.ts';

/** `dropped` counts from the top, the lead being 1. */
export function dropVoices(notes: readonly number[], dropped: readonly number[]): number[] {
  const count = notes.length;
  return notes
    .map((note, index) => (dropped.includes(count - index) ? note - 12 : note))
    .sort((one, other) => one - other);
}

/** The close voicings of `frame` with voices dropped, as far as they stay in the register. */
export function droppedUppers(
  harmony: Harmony,
  frame: Frame,
  bass: number | undefined,
  dropped: readonly number[],
): Upper[] {
  return closeUppers(harmony, frame, bass)
    .map((upper) => ({ ...upper, notes: dropVoices(upper.notes, dropped) }))
    .filter(({ notes }) => (notes[0] ?? 0) >= frame.upper.lowest);
}

function dropStrategy(
  id: StrategyId,
  label: string,
  dropped: readonly number[],
  fallbacks: readonly StrategyId[],
): Strategy {
  return {
    id,
    voices: [4, 4],
    fallbacks,
    members: (harmony, frame) =>
      overEach(harmony, frame, label, (bass) =>
        // Of fewer than four voices nothing can be dropped by this rule.
        droppedUppers(harmony, frame, bass, dropped).filter(({ notes }) => notes.length === 4),
      ),
  };
}

export const drop2 = dropStrategy('drop-2', 'drop 2', [2], ['open', 'close']);
export const drop3 = dropStrategy('drop-3', 'drop 3', [3], ['drop-2', 'open', 'close']);
export const drop24 = dropStrategy('drop-2-4', 'drop 2 and 4', [2, 4], ['drop-2', 'open', 'close']);
