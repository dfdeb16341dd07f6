import { expect, test } from 'vitest';
import { layoutFor, stageLayoutFor } from '../../src/ui/frame/layout.ts';

/** The heard line and the settings, which are always there where anything of the middle is. */
const heard = 1;

test('on the smallest page a long sentence leaves the symbol and its technique whole', () => {
  const layout = layoutFor({ columns: 40, rows: 12 });
  if (layout === undefined) throw new Error('40 × 12 is a page');
  for (let sentence = 1; sentence <= 6; sentence += 1) {
    for (const technique of [1, 2]) {
      const around = sentence + layout.footRows;
      const { symbolRows } = stageLayoutFor(layout, around, technique);
      const needed = heard + symbolRows + technique + around;
      expect(needed, `${sentence} and ${technique} rows`).toBeLessThanOrEqual(layout.rows);
    }
  }
});
