/**
 * Where the texture of a passage changes: it is divided so that most chords of each section are built
 * alike, and into no more sections than that asks for. Dynamic programming, linear in chords. What a
 * new section costs: common practice, no source.
 */
import type { TechniqueId } from '../harmony/naming/technique-id.ts';
import type { DescribedChord } from './describe.ts';

export type Section = {
  /** Places among the chords, the second one not included. */
  readonly from: number;
  readonly to: number;
  /** What most of its chords are built by. */
  readonly technique: TechniqueId | 'none';
  /** So many of its chords. */
  readonly chords: number;
};

/** As many chords of another technique stand in a section before it is divided. */
const newSection = 3;

type State = { readonly cost: number; readonly from: number };

export function sectionsOf(
  chords: readonly Pick<DescribedChord, 'technique'>[],
): readonly Section[] {
  const kinds = [...new Set(chords.map(({ technique }) => technique))];
  let before: readonly State[] = kinds.map(() => ({ cost: 0, from: -1 }));
  const origins: Int32Array[] = [];
  for (const [place, { technique }] of chords.entries()) {
    const cheapest = before.reduce(
      (best, { cost }, kind) => (cost < (before[best]?.cost ?? 0) ? kind : best),
      0,
    );
    const change = (before[cheapest]?.cost ?? 0) + (place === 0 ? 0 : newSection);
    const origin = new Int32Array(kinds.length);
    before = kinds.map((kind, index): State => {
      const stay = before[index]?.cost ?? 0;
      const from = change < stay ? cheapest : index;
      origin[index] = from;
      return { cost: Math.min(change, stay) + (kind === technique ? 0 : 1), from };
    });
    origins.push(origin);
  }
  let kind = before.reduce(
    (best, { cost }, index) => (cost < (before[best]?.cost ?? 0) ? index : best),
    0,
  );
  const path: number[] = [];
  for (let place = chords.length - 1; place >= 0; place -= 1) {
    path[place] = kind;
    kind = origins[place]?.[kind] ?? kind;
  }
  return sectionsAlong(path, kinds, chords);
}

function sectionsAlong(
  path: readonly number[],
  kinds: readonly Section['technique'][],
  chords: readonly Pick<DescribedChord, 'technique'>[],
): readonly Section[] {
  const found: Section[] = [];
  let from = 0;
  for (let to = 1; to <= path.length; to += 1) {
    if (to < path.length && path[to] === path[from]) continue;
    const technique = kinds[path[from] ?? 0] ?? 'none';
    const own = chords.slice(from, to).filter((each) => each.technique === technique).length;
    found.push({ from, to, technique, chords: own });
    from = to;
  }
  return found;
}
