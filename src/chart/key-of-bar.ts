/** Which key holds for a bar: a chart may turn to others on its way. */
import type { Key } from '../harmony/key/key.ts';
import type { Chart } from './chart.ts';

/** @param asked the chart's own first key, or another that was asked for: that one holds throughout. */
export function keyOfBar(
  { form, key }: Pick<Chart, 'form' | 'key'>,
  asked: Key | undefined,
  bar: number,
): Key | undefined {
  return asked === key ? form.bars[bar]?.key : asked;
}
