/**
 * The best path over a progression, and the live choice measured against it. The progressions are
 * analysts' labels of whole movements (DCML annotations, test use only), where they are at hand.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { createGrower } from '../../src/harmony/chord/palette.ts';
import { spelledChordOf } from '../../src/harmony/chord/spelled-chord.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { fromFileForm } from '../../src/presets/file-form.ts';
import { frameOf } from '../../src/presets/frame.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { type Candidates, candidates } from '../../src/voicing/choose.ts';
import { createForesight } from '../../src/voicing/foresight.ts';
import { moveCost } from '../../src/voicing/leading.ts';
import { bestPath } from '../../src/voicing/path.ts';
import type { StrategyId } from '../../src/voicing/voicing.ts';
import { isShortRound } from '../helpers/round.ts';
import { frame, harmonyOf } from './harmonies.ts';
import { livePath } from './live-path.ts';

const listsOf = (symbols: readonly string[], strategy: StrategyId, voices: number): Candidates[] =>
  symbols.map((symbol) =>
    candidates(strategy, harmonyOf(symbol, 'ninths'), frame(50, 70, voices, 'root')),
  );

/** The cheapest of all ways through, tried one by one. */
function cheapestByTrial(lists: readonly Candidates[]): number {
  const from = (position: number, last: number): number => {
    const list = lists[position];
    if (list === undefined) return 0;
    const before = lists[position - 1]?.voicings[last];
    const costs = list.voicings.map((voicing, index) => {
      const move = before === undefined ? 0 : moveCost(before, voicing);
      return (list.standing[index] ?? 0) + move + from(position + 1, index);
    });
    return Math.min(...costs);
  };
  return from(0, -1);
}

describe('the best path', () => {
  test.each([
    ['close', 3, ['Dm7', 'G7', 'Cmaj7', 'A7']],
    ['drop-2', 4, ['Fm7', 'Bb7', 'Ebmaj7', 'Abmaj7']],
    ['fourths', 3, ['Dm11', 'G13', 'C6/9', 'Am11', 'F6/9']],
    ['rootless', 4, ['Bm7', 'E7', 'Amaj7', 'F#7alt', 'Bm7']],
  ] as const)('%s in %i voices costs what trying every way finds', (strategy, voices, symbols) => {
    const lists = listsOf(symbols, strategy, voices);
    expect(bestPath(lists).cost).toBeCloseTo(cheapestByTrial(lists), 3);
  });

  test('costs no more than the live choice, and chooses from the lists', () => {
    const lists = listsOf(['Dm7', 'G7', 'Em7', 'A7', 'Dm7', 'G7', 'Cmaj7'], 'close', 4);
    const best = bestPath(lists);
    expect(best.cost).toBeLessThanOrEqual(livePath(lists).cost);
    best.voicings.forEach((voicing, position) => {
      expect(lists[position]?.voicings).toContain(voicing);
    });
  });

  test('leads across a gap, and an empty progression costs nothing', () => {
    const [first, last] = listsOf(['Dm7', 'G7'], 'close', 3);
    if (first === undefined || last === undefined) throw new Error('two lists were asked for');
    const nothing: Candidates = { ...first, voicings: [], standing: new Float64Array(0) };
    const across = bestPath([first, nothing, last]);
    expect(across.voicings[1]).toBeUndefined();
    expect(across.cost).toBeCloseTo(bestPath([first, last]).cost, 6);
    expect(bestPath([])).toEqual({ voicings: [], cost: 0 });
  });
});

describe('the live choice', () => {
  test('takes the same voicing for the same chord struck again', () => {
    const [list] = listsOf(['Dm7'], 'close', 4);
    if (list === undefined) throw new Error('a list was asked for');
    const foresight = createForesight();
    const first = foresight.choose(list, undefined);
    expect(foresight.choose(list, list.voicings[first])).toBe(first);
  });

  test('is the same for the same history', () => {
    const lists = listsOf(['Dm7', 'G7', 'Cmaj7', 'A7', 'Dm7', 'G7', 'Em7', 'A7'], 'drop-2', 4);
    expect(livePath(lists)).toEqual(livePath(lists));
  });

  test('of nothing is nothing', () => {
    const [list] = listsOf(['Dm7'], 'close', 4);
    if (list === undefined) throw new Error('a list was asked for');
    const nothing = { ...list, voicings: [], standing: new Float64Array(0) };
    expect(createForesight().choose(nothing, undefined)).toBe(-1);
  });
});

const file = new URL(
  '../../../shared/reference/labelled-harmony/progressions.tsv',
  import.meta.url,
);
const isAtHand = existsSync(file);

/** The analysts' types in symbols. */
const suffixes: Readonly<Record<string, string>> = {
  M: '',
  m: 'm',
  o: 'dim',
  '+': 'aug',
  Mm7: '7',
  mm7: 'm7',
  MM7: 'maj7',
  '%7': 'm7(b5)',
  o7: 'dim7',
  '+7': '7(#5)',
};
const names = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];

function movements(): string[][] {
  const found = new Map<string, string[]>();
  for (const line of readFileSync(file, 'utf8').trim().split('\n').slice(1)) {
    const [piece = '', , , , root, type = ''] = line.split('\t');
    const suffix = suffixes[type];
    if (suffix === undefined) continue;
    const symbols = found.get(piece) ?? [];
    found.set(piece, [...symbols, `${names[Number(root)]}${suffix}`]);
  }
  return [...found.values()];
}

const folder = new URL('../../presets/', import.meta.url);
const presets = readdirSync(folder).map((name) =>
  fromFileForm(JSON.parse(readFileSync(new URL(name, folder), 'utf8')), name.replace('.json', '')),
);

/** Candidates for symbols as a preset voices them, each symbol's made once. */
function createLister(preset: Preset): (symbol: string) => Candidates {
  const grow = createGrower(undefined, preset.growth, preset.family ?? {});
  const own = frameOf(preset, {}, undefined);
  const known = new Map<string, Candidates>();
  return (symbol) => {
    const before = known.get(symbol);
    if (before !== undefined) return before;
    const parsed = parseSymbol(symbol);
    if (!parsed.ok) throw new Error(parsed.problem);
    const list = candidates(preset.strategy, grow(spelledChordOf(parsed.value).chord), own);
    known.set(symbol, list);
    return list;
  };
}

describe.skipIf(!isAtHand || isShortRound)(
  'over whole movements, with the labelled progressions at hand',
  () => {
    // Measured by their own cost: how much the live choice loses by not looking ahead, not how good either
    // is, which is counted beside chorales. The aim is a tenth. Clusters, with three places to a chord,
    // miss it, blocks, whose lead on a dominant has one place fewer than on other chords (not the leading
    // tone), fourths, where each chord has many shapes, hybrids by a little, and four parts, where a
    // parallel may follow from the chord that comes.
    test.each([
      ['close-as-played', 1.14],
      ['open-triads', 1.16],
      ['drop-2-sevenths', 1.1],
      ['drop-3-sevenths', 1.1],
      ['drop-2-4-ninths', 1.1],
      ['shells', 1.1],
      ['rootless-hand', 1.1],
      ['spread-thirteenths', 1.11],
      ['fourths-over-root', 1.17],
      ['fourths-and-third', 1.12],
      ['fifths-open', 1.1],
      ['hybrid-major', 1.12],
      ['upper-structures', 1.1],
      ['polychords', 1.1],
      ['clusters', 1.13],
      ['block-lead', 1.12],
    ])(
      '%s: the live choice costs at most %d times the best path',
      (id, most) => {
        const preset = presets.find((each) => each.id === id);
        if (preset === undefined) throw new Error(`no preset ${id}`);
        const lister = createLister(preset);
        let live = 0;
        let best = 0;
        for (const symbols of movements()) {
          const lists = symbols.map(lister);
          live += livePath(lists).cost;
          best += bestPath(lists).cost;
        }
        expect(best).toBeGreaterThan(0);
        expect(live / best).toBeGreaterThanOrEqual(1);
        expect(live / best).toBeLessThanOrEqual(most);
      },
      60_000,
    );
  },
);

test.skipIf(isAtHand)(
  'the labelled progressions are not at hand; their check is left out',
  () => {},
);
