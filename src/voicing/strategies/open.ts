/**
 * Open position: the voices span more than an octave. Of three voices the middle one leaves the
 * close group by an octave; of four, one or two are dropped (drop 2, drop 3, drop 2 and 4).
 * Source: definition; D. Terefenko, Jazz Theory, p. 47, fig. 4.15 (read second-hand).
 */
import type { Harmony } from '../../harmony/chord/palette.ts';
import { overEach, type Upper } from '../bass.ts';
import { asParts } from '../part-writing.ts';
import { type Frame, noDoubling, type Strategy } from '../voicing.ts';
import { openDoubled } from './doubled-triad.ts';
import { droppedUppers } from './drop.ts';

const drops: Readonly<Record<number, readonly (readonly number[])[]>> = {
  3: [[2]],
  4: [[2], [3], [2, 4]],
};

function uppers(harmony: Harmony, frame: Frame, bass: number | undefined): Upper[] {
  const dropped = (drops[frame.voices] ?? []).flatMap((voices) =>
    droppedUppers(harmony, frame, bass, voices).filter(
      ({ notes }) => notes.length === frame.voices,
    ),
  );
  return [...dropped, ...openDoubled(harmony, frame, bass)];
}

export const open: Strategy = {
  id: 'open',
  name: 'open position',
  voices: [3, 4],
  narrowestUpper: 21,
  needsTensions: false,
  isOnRoot: false,
  doubling: noDoubling,
  fallbacks: ['close'],
  members: (harmony, frame) => {
    // A triad has three voices to open, whatever was asked for.
    const own = overEach(harmony, frame, 'open position', (bass) => uppers(harmony, frame, bass));
    if (own.length > 0 || frame.voices === 3) return asParts(own);
    const three = { ...frame, voices: 3 };
    const triads = overEach(harmony, three, 'open position', (bass) =>
      uppers(harmony, three, bass),
    );
    return asParts(triads);
  },
};
