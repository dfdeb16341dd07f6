/**
 * Dropped voices: of a four-part close voicing, voices counted from the top, one or two sound an
 * octave lower. The bass line is not counted, and the lead never changes.
 * Source of the counting: D. Terefenko, Jazz Theory, p. 47, fig. 4.15 (read second-hand).
 */
import type { Harmony } from '../../harmony/chord/palette.ts';
import { overEach, type Upper } from '../bass.ts';
import { type Frame, noDoubling, type Strategy } from '../voicing.ts';
import { closeUppers } from './close.ts';

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

/** In what the strategies of this file differ besides which voices are dropped. */
type OwnFacts = 'id' | 'name' | 'narrowestUpper' | 'fallbacks';

function dropStrategy(
  { id, name, narrowestUpper, fallbacks }: Pick<Strategy, OwnFacts>,
  dropped: readonly number[],
): Strategy {
  return {
    id,
    name,
    voices: [4, 4],
    narrowestUpper,
    needsTensions: false,
    isOnRoot: false,
    doubling: noDoubling,
    fallbacks,
    members: (harmony, frame) =>
      overEach(harmony, frame, name, (bass) =>
        // Of fewer than four voices nothing can be dropped by this rule.
        droppedUppers(harmony, frame, bass, dropped).filter(({ notes }) => notes.length === 4),
      ),
  };
}

export const drop2 = dropStrategy(
  { id: 'drop-2', name: 'drop 2', narrowestUpper: 19, fallbacks: ['open', 'close'] },
  [2],
);
export const drop3 = dropStrategy(
  { id: 'drop-3', name: 'drop 3', narrowestUpper: 22, fallbacks: ['drop-2', 'open', 'close'] },
  [3],
);
export const drop24 = dropStrategy(
  {
    id: 'drop-2-4',
    name: 'drop 2 and 4',
    narrowestUpper: 23,
    fallbacks: ['drop-2', 'open', 'close'],
  },
  [2, 4],
);
