/**
 * Drop 2: of a close voicing, the second voice from the top sounds an octave lower. The bass line
 * is not counted. Source of the counting: D. Terefenko, Jazz Theory, p. 47, fig. 4.15 (read
 * second-hand). Of three voices it makes open position, and says so.
 */
import { overBass, overBasses } from './bass.ts';
import { closeUppers } from './close.ts';
import type { Strategy } from './voicing.ts';

function dropSecond(notes: readonly number[]): number[] {
  const second = notes[notes.length - 2];
  if (second === undefined) return [...notes];
  return [second - 12, ...notes.filter((note) => note !== second)].sort((a, b) => a - b);
}

export const drop2: Strategy = {
  id: 'drop-2',
  members: (harmony, frame) => {
    const dropped = closeUppers(harmony, frame)
      .map(({ notes, price }) => ({ notes: dropSecond(notes), price }))
      .filter(({ notes }) => (notes[0] ?? 0) >= frame.upper.lowest);
    const isTriad = dropped.every(({ notes }) => notes.length < 4);
    const label = `${isTriad ? 'open position' : 'drop 2'}${overBass(harmony, frame)}`;
    return overBasses(dropped, harmony, frame, label, 'freely');
  },
};
