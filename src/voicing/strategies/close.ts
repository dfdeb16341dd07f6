/**
 * Close position: all upper voices inside one octave, each the nearest chosen tone above the last.
 * Definition: textbook; members are the rotations of the tone set at every octave that fits, and
 * triads over one of their tones with another one at the bottom and the top of the octave.
 */
import type { Harmony } from '../../harmony/chord/palette.ts';
import { overEach, type Upper } from '../bass.ts';
import { asParts } from '../part-writing.ts';
import { rotations, stackWithin } from '../stack.ts';
import { toneSets } from '../tone-set.ts';
import { type Frame, noDoubling, type Strategy } from '../voicing.ts';
import { closeDoubled } from './doubled-triad.ts';

/** The close members over one bass tone, before any voice is dropped. */
export function closeUppers(harmony: Harmony, frame: Frame, bass: number | undefined): Upper[] {
  return toneSets(harmony, frame, bass).flatMap(({ tones, price, isIncomplete }) =>
    rotations(tones).flatMap((rotation) =>
      stackWithin(rotation, harmony.chord.root, frame.upper).map((notes) => ({
        notes,
        price,
        isIncomplete,
      })),
    ),
  );
}

export const close: Strategy = {
  id: 'close',
  name: 'close position',
  voices: [3, 5],
  narrowestUpper: 11,
  needsTensions: false,
  isOnRoot: false,
  doubling: noDoubling,
  fallbacks: [],
  members: (harmony, frame) =>
    asParts(
      overEach(
        harmony,
        frame,
        'close position',
        (bass) => [...closeUppers(harmony, frame, bass), ...closeDoubled(harmony, frame, bass)],
        'freely',
      ),
    ),
};
