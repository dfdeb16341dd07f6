/** The chords of the session as the chords page walks through them. Places count from the oldest, 0. */
import type { ChordReport } from '../live/snapshot.ts';
import type { StageModel } from './stage-model.ts';

export function chordsOf(model: StageModel): readonly ChordReport[] {
  return model.history ?? model.state.snapshot.chords;
}

/** The place `back` chords before the newest; 0 when there are not so many. */
export function placeOf(model: StageModel, back: number): number {
  return Math.max(0, chordsOf(model).length - 1 - back);
}

/** Place of the marked chord; -1 when none is marked, or it is too long ago. */
export function placeOfMark(model: StageModel, chord: ChordReport | undefined): number {
  return chord === undefined ? -1 : chordsOf(model).lastIndexOf(chord);
}
