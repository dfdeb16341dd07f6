/**
 * Where the texture of a passage changes: it is divided so that most chords of each section are built
 * alike, and into no more sections than that asks for. Dynamic programming, linear in chords. What a
 * new section costs: common practice, no source.
 */
import { cheapestRow } from '../common/cheapest-row.ts';
import type { DescribedChord } from './describe.ts';

export type Section = {
  /** Places among the chords, the second one not included. */
  readonly from: number;
  readonly to: number;
  /** What most of its chords are built by. */
  readonly technique: DescribedChord['technique'];
  /** So many of its chords. */
  readonly chords: number;
};

/** As many chords of another technique stand in a section before it is divided. */
const newSection = 3;

type Built = Pick<DescribedChord, 'technique'>;

export function sectionsOf(chords: readonly Built[]): readonly Section[] {
  const kinds = [...new Set(chords.map(({ technique }) => technique))];
  const row = cheapestRow(
    chords,
    kinds,
    ({ technique }, kind) => (technique === kind ? 0 : 1),
    newSection,
  );
  const found: Section[] = [];
  let from = 0;
  for (let to = 1; to <= row.length; to += 1) {
    const technique = row[from];
    if (technique === undefined || (to < row.length && row[to] === technique)) continue;
    const own = chords.slice(from, to).filter((each) => each.technique === technique).length;
    found.push({ from, to, technique, chords: own });
    from = to;
  }
  return found;
}
