/** Where the bars of a form stand on the page. */
import type { Chart } from './chart.ts';

export type OnPage = {
  /** The bar as it is numbered on the page, where repeats are written once; 0 for a pick-up. */
  readonly writtenBar: number;
  /** The section it stands in; '' for none. */
  readonly section: string;
};

/** Of each written bar. */
export function pageOf({ form }: Pick<Chart, 'form'>): readonly OnPage[] {
  const first = form.bars[0]?.isPickup === true ? 0 : 1;
  let section = '';
  return form.bars.map((bar, place) => {
    section = bar.section === '' ? section : bar.section;
    return { writtenBar: place + first, section };
  });
}
