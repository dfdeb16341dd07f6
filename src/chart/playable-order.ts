/**
 * The order of a form that came from elsewhere: where its signs lead nowhere or round for ever, they
 * are left out and that is said, D.C. and D.S. before repeats.
 */
import type { Problem } from '../presets/problem.ts';
import type { WrittenBar } from './form.ts';
import { playOrder } from './play-order.ts';

type Playable = {
  readonly bars: readonly WrittenBar[];
  readonly order: readonly number[];
  readonly remarks: readonly Problem[];
};

const ways: readonly ((bar: WrittenBar) => WrittenBar)[] = [
  (bar) => bar,
  (bar) => ({ ...bar, jump: undefined, fine: undefined, toCoda: undefined }),
  (bar) => ({ ...bar, times: 1, isRepeatStart: false, ending: undefined }),
];

export function playableOrder(written: readonly WrittenBar[]): Playable {
  const remarks: Problem[] = [];
  let bars = written;
  for (const change of ways) {
    bars = bars.map(change);
    const { order, faults, remarks: own } = playOrder(bars);
    if (faults.length === 0) {
      const lost = own.map((each) => ({ ...each, path: '' }));
      return { bars, order, remarks: [...remarks, ...lost] };
    }
    const [first] = faults;
    if (first !== undefined) {
      remarks.push({ ...first, path: '', message: `${first.message} Such signs were left out.` });
    }
  }
  return { bars, order: bars.map((_, place) => place), remarks };
}
