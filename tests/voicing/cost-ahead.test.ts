/** The best path, one voicing at a time: what it costs against the path of the whole (path.ts). */
import { expect, test } from 'vitest';
import { createGrower } from '../../src/harmony/chord/palette.ts';
import { spelledChordOf } from '../../src/harmony/chord/spelled-chord.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { frameOf } from '../../src/presets/frame.ts';
import { type Candidates, candidates } from '../../src/voicing/choose.ts';
import { createCostAhead } from '../../src/voicing/cost-ahead.ts';
import { bestPath, pathCost } from '../../src/voicing/path.ts';
import type { Voicing } from '../../src/voicing/voicing.ts';
import { shippedPreset } from '../live/play.ts';

const symbols = 'Fmaj7 Gm7 C7 Am7 D7 Gm7 C7 Fmaj7 Bb7 Am7 D7 Gm7 C7 F6 Cm7 F7 Bbmaj7 Dm7 G7'.split(
  ' ',
);

function listsFor(id: string): readonly Candidates[] {
  const preset = shippedPreset(id);
  const grow = createGrower(undefined, preset.growth, preset.family ?? {});
  const frame = frameOf(preset, {}, undefined);
  const known = new Map<string, Candidates>();
  return symbols.map((text) => {
    const parsed = parseSymbol(text);
    if (!parsed.ok) throw new Error(parsed.problem);
    const made =
      known.get(text) ??
      candidates(preset.strategy, grow(spelledChordOf(parsed.value).chord), frame);
    known.set(text, made);
    return made;
  });
}

/** Places in the lists, each chosen from the last one; `strays` are taken whatever they cost. */
function chosenAhead(
  lists: readonly Candidates[],
  strays: ReadonlyMap<number, number> = new Map(),
) {
  const ahead = createCostAhead(lists.length, (place) => lists[place]);
  while (ahead.prepare()) {}
  let last: Voicing | undefined;
  return lists.map((list, place) => {
    const index = strays.get(place) ?? ahead.choose(place, list, last) ?? -1;
    last = list.voicings[index] ?? last;
    return index;
  });
}

test.each(['fourths-over-root', 'drop-2-sevenths', 'spread-thirteenths'])(
  'costs what the best path costs, and after a departure what is best from there: %s',
  (id) => {
    const lists = listsFor(id);
    const { cost } = bestPath(lists);
    expect(pathCost(lists, chosenAhead(lists))).toBeCloseTo(cost, 3);
    const stray = new Map([[6, (lists[6]?.voicings.length ?? 1) - 1]]);
    const after = chosenAhead(lists, stray).slice(6);
    const pinned = lists.slice(6);
    const only = pinned[0]?.voicings.at(-1);
    if (only === undefined || pinned[0] === undefined) throw new Error('there is no voicing');
    const standing = Float64Array.of(pinned[0].standing.at(-1) ?? 0);
    const best = bestPath([{ ...pinned[0], voicings: [only], standing }, ...pinned.slice(1)]);
    expect(pathCost(pinned, after)).toBeCloseTo(best.cost, 3);
  },
);

test('says nothing of what it has not reckoned with', () => {
  const lists = listsFor('fourths-over-root');
  const ahead = createCostAhead(lists.length, (place) => (place === 3 ? undefined : lists[place]));
  const [first, second] = lists;
  if (first === undefined || second === undefined) throw new Error('there are no lists');
  expect(ahead.choose(0, first, undefined)).toBeUndefined();
  while (ahead.prepare()) {}
  expect(ahead.prepare()).toBe(false);
  expect(ahead.choose(0, second, undefined)).toBeUndefined();
  expect(ahead.choose(3, first, undefined)).toBeUndefined();
  expect(ahead.choose(0, first, undefined)).toBeGreaterThanOrEqual(0);
});
