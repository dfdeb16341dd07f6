import type { StageModel } from './stage-model.ts';

/** A line in place of a symbol. */
export function guidanceHint({ mode }: Pick<StageModel, 'mode'>): string {
  return mode === 'rehearsal' ? 'Press 1 for a chord.' : 'Hold a chord: a triad is enough.';
}
