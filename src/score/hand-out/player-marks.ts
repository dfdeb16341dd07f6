/**
 * What sounds of a hand-out, marked in it: a function that runs in the reader's browser and nowhere else.
 * Its text is put into the page, so that it imports nothing but types.
 */
import type { HandOutMusic, Page, PageElement, Wish } from './player-page.ts';

export type PlayerMarks = {
  /** The row of the table, and the notes of the staves; in place of what was marked. */
  readonly mark: (wish: Wish, row: number) => void;
  readonly unmark: () => void;
};

export function handOutMarks(page: Page, music: HandOutMusic): PlayerMarks {
  let marked: PageElement[] = [];
  const unmark = (): void => {
    for (const element of marked) {
      element.removeAttribute('aria-current');
      element.classList.remove('sounding');
    }
    marked = [];
  };
  return {
    unmark,
    mark: ({ piece, treatment }, row) => {
      unmark();
      const id = music.pieces[Number(piece)]?.treatments[Number(treatment)]?.marks[row] ?? '';
      const rows = page.querySelectorAll(`tr[data-row="${piece} ${treatment} ${row}"]`);
      const notes = page.querySelectorAll(`figure[data-piece="${piece}"] [data-id^="${id}"]`);
      for (const element of rows) element.setAttribute('aria-current', 'true');
      for (const element of notes) element.classList.add('sounding');
      marked = [...rows, ...notes];
    },
  };
}
