/**
 * Close position: all upper voices inside one octave, each the nearest chosen tone above the last.
 * Definition: textbook; members are the rotations of the tone set at every octave that fits.
 */
import type { Harmony } from '../harmony/palette.ts';
import { bassInterval, overBass, overBasses, type Upper } from './bass.ts';
import { rotations, stackWithin } from './stack.ts';
import { toneSets } from './tone-set.ts';
import type { Frame, Strategy } from './voicing.ts';

/** Semitones of motion a poorer set of tones counts as: it wins only where the better has no room. */
const poorerSetPrice = 12;

/** The close members, before any voice is dropped. */
export function closeUppers(harmony: Harmony, frame: Frame): Upper[] {
  const sets = toneSets(harmony.palette, frame.voices, bassInterval(harmony, frame));
  return sets.flatMap((set, rank) =>
    rotations(set).flatMap((rotation) =>
      stackWithin(rotation, harmony.chord.root, frame.upper).map((notes) => ({
        notes,
        price: rank * poorerSetPrice,
      })),
    ),
  );
}

export const close: Strategy = {
  id: 'close',
  members: (harmony, frame) => {
    const label = `close position${overBass(harmony, frame)}`;
    return overBasses(closeUppers(harmony, frame), harmony, frame, label, 'freely');
  },
};
