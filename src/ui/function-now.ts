/** A chord that sounds is told in the key of now; one that has ended belongs to the key it had. */
import type { ChordReport } from '../live/snapshot.ts';
import type { StageModel } from './stage-model.ts';

export function functionNow(
  { state: { snapshot }, functionOf }: StageModel,
  last: ChordReport,
): ReturnType<NonNullable<StageModel['functionOf']>> | undefined {
  const isOver = !snapshot.isChordSounding && (last.key ?? '') !== snapshot.key;
  return isOver ? undefined : functionOf?.(last, snapshot.key);
}
