/** Shapes of a player's own, on every chord. */
import { expect, test } from 'vitest';
import { createGrower } from '../../src/harmony/chord/palette.ts';
import { spelledChordOf } from '../../src/harmony/chord/spelled-chord.ts';
import type { Degree } from '../../src/harmony/pitch/degree.ts';
import { membersOf } from '../../src/harmony/pitch/pitch-class-set.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { formatPreset, parsePreset } from '../../src/presets/parse.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { type Candidates, candidates, cheapestIndex } from '../../src/voicing/choose.ts';
import { keepsLowIntervalLimits } from '../../src/voicing/constraints.ts';
import { shapeOf } from '../../src/voicing/shape-of.ts';
import { ownTone, parseShapes, shapeCandidates } from '../../src/voicing/shapes.ts';
import { strategyById } from '../../src/voicing/strategies.ts';
import type { Frame, StrategyId } from '../../src/voicing/voicing.ts';
import { createPlayer, plainPreset } from '../live/play.ts';
import { spoilt } from '../presets/sample.ts';

const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const frame: Frame = {
  upper: { lowest: 45, highest: 79 },
  bass: { policy: 'root', lowest: 28, highest: 52 },
  voices: 4,
};
const grow = createGrower(undefined, 'thirteenths', {});

function harmonyOf(symbol: string) {
  const parsed = parseSymbol(symbol);
  if (!parsed.ok) throw new Error(parsed.problem);
  return grow(spelledChordOf(parsed.value).chord);
}

function voicingsOf(
  symbol: string,
  shape: string,
  movement: 'led' | 'taken' = 'taken',
  under = frame,
) {
  const preset = { shape, movement, strategy: 'close' } as const;
  return shapeCandidates(preset, harmonyOf(symbol), under)?.voicings ?? [];
}

/**
 * Handbook shapes as degrees, and the strategy that builds them: the A and B forms of the rootless
 * left hand (shared/rootless-forms.json names their sources), three fourths and a third (shared tables
 * of fourths-and-third.ts), fourths over the third, a spread with the tenth above its root, the triad
 * on the ninth above the shell of a dominant. That the shapes are those: common practice, no source.
 */
const handbook: readonly (readonly [
  shape: string,
  suffixes: readonly string[],
  strategy: StrategyId,
  changes: { readonly [K in keyof Frame]?: Frame[K] },
])[] = [
  ['3 5 7 9', ['maj7', 'm7'], 'rootless', { bass: { ...frame.bass, policy: 'none' } }],
  ['7 9 3 5', ['maj7', 'm7'], 'rootless', { bass: { ...frame.bass, policy: 'none' } }],
  ['3 13 7 9', ['7'], 'rootless', { bass: { ...frame.bass, policy: 'none' } }],
  ['7 9 3 13', ['7'], 'rootless', { bass: { ...frame.bass, policy: 'none' } }],
  ['1 11 7 3 5', ['m7'], 'fourths-and-third', { voices: 5 }],
  ['3 / 1 11 7', ['m7'], 'fourths', { voices: 3, bass: { ...frame.bass, policy: 'third' } }],
  ['1 / 7 3 5', ['m7', 'maj7'], 'spread', { voices: 3 }],
  ['1 / 3 7 9 #11 13', ['13#11'], 'upper-structure', { voices: 5 }],
];

test.each(handbook)(
  '%s is as the strategy builds it, in all twelve keys',
  (shape, suffixes, strategy, changes) => {
    const under = { ...frame, ...changes };
    for (const suffix of suffixes) {
      for (const root of roots) {
        const symbol = `${root}${suffix}`;
        const built = strategyById(strategy)
          .members(harmonyOf(symbol), under)
          .map(({ notes }) => notes.join(' '));
        const own = voicingsOf(symbol, shape, 'taken', under).map(({ notes }) => notes.join(' '));
        expect(own.length, symbol).toBeGreaterThan(0);
        expect(built, symbol).toEqual(expect.arrayContaining(own));
      }
    }
  },
);

test('on a chord of the same type it is the transposition', () => {
  for (const shape of ['1 5 9 b3 b7', "1 / b3 b7 9' 5", 'b7 b3 5 9', '1 5 3 7']) {
    for (const suffix of ['m7', 'maj7', '7', 'm7b5', '6']) {
      const shapesOn = (root: string) =>
        voicingsOf(`${root}${suffix}`, shape).map(({ upper }) =>
          upper.map((note) => note - (upper[0] ?? 0)).join(' '),
        );
      const [first] = shapesOn('C');
      for (const root of roots) {
        for (const each of shapesOn(root)) expect(each, `${root}${suffix} ${shape}`).toBe(first);
      }
    }
  }
});

test('each degree becomes the own one of another chord, and what it has not is replaced and said', () => {
  const tones = (symbol: string, shape = '1 5 9 3 7') => {
    const [first] = voicingsOf(symbol, shape, 'taken', {
      ...frame,
      bass: { ...frame.bass, policy: 'none' },
    });
    const lowest = first?.upper[0] ?? 0;
    return first?.upper.map((note) => (note - lowest) % 12);
  };
  expect(tones('Cm7')).toEqual([0, 7, 2, 3, 10]);
  expect(tones('Cmaj7')).toEqual([0, 7, 2, 4, 11]);
  expect(tones('C6')).toEqual([0, 7, 2, 4, 9]);
  expect(tones('Cm7b5', '1 5 7 3')).toEqual([0, 6, 10, 3]);
  // A flat ninth stands written: the ninth of the shape is that.
  expect(tones('C7b9')).toEqual([0, 7, 1, 4, 10]);
  // The nearest chord tone to a ninth is the third, which is in the voice above: then the root.
  expect(tones('Cm7b5')).toEqual([0, 6, 0, 3, 10]);
  const [sus] = voicingsOf('C7sus4', '1 5 7 3');
  expect(sus?.label).toMatch(/^own shape 1 5 7 3, (4|11) for 3/);
});

test('led, the turns of a shape compete; as taken, only the shape itself', () => {
  const orders = (movement: 'led' | 'taken') =>
    new Set(voicingsOf('Dm7', '3 5 7 9', movement).map(({ upper }) => (upper[0] ?? 0) % 12));
  expect(orders('taken')).toEqual(new Set([5]));
  expect(orders('led')).toEqual(new Set([5, 9, 0, 4]));
  expect(voicingsOf('Dm7', '3 5 7 9 | 7 9 3 5').length).toBeGreaterThan(
    voicingsOf('Dm7', '3 5 7 9').length,
  );
});

test('it stands where it is clear if it has room there, on every root, and low where it has none', () => {
  const upper = { lowest: 36, highest: 76 };
  const room: Frame = { ...frame, upper, bass: { ...frame.bass, policy: 'none' } };
  const standing = (root: string, shape: string, under: Frame) => {
    const preset = { shape, movement: 'taken', strategy: 'close' } as const;
    const list = shapeCandidates(preset, harmonyOf(`${root}maj9`), under) as Candidates;
    return list.voicings[cheapestIndex(list, list.voicings[0])]?.notes ?? [];
  };
  for (const root of roots) {
    for (const shape of ['1 3 7 9', '1 5 3 7', '3 5 7 9', '1 3 9 5']) {
      // Led from the lowest of all.
      const notes = standing(root, shape, room);
      expect(keepsLowIntervalLimits(notes), `${shape} on ${root}: ${notes}`).toBe(true);
      const low: Frame = { ...room, upper: { lowest: 33, highest: 57 } };
      expect(standing(root, shape, low).at(-1), `${shape} on ${root}`).toBeLessThanOrEqual(63);
    }
  }
});

test('led, by itself it stands as it is written, and turned it makes no mud with its bass', () => {
  let count = 0;
  for (const root of roots) {
    for (const [shape, type] of [
      ['1 3 7 9', 'maj9'],
      ['3 7 9 5', 'm9'],
    ] as const) {
      const preset = { shape, movement: 'led', strategy: 'close' } as const;
      const list = shapeCandidates(preset, harmonyOf(root + type), frame);
      const all = list?.voicings ?? [];
      expect(all[cheapestIndex(list as Candidates, undefined)]?.label).toBe(
        `own shape ${shape} over the root`,
      );
      const turned = all.filter(({ label }) => label.includes('turned'));
      expect(turned.every(({ notes }) => keepsLowIntervalLimits(notes))).toBe(true);
      count += turned.length;
    }
  }
  expect(count).toBeGreaterThan(20);
});

test('an apostrophe is an octave more', () => {
  const [plain] = voicingsOf('C', '1 5 3');
  const [higher] = voicingsOf('C', "1 5 3'");
  expect((higher?.upper[2] ?? 0) - (higher?.upper[0] ?? 0)).toBe(28);
  expect((plain?.upper[2] ?? 0) - (plain?.upper[0] ?? 0)).toBe(16);
});

test.each([
  ['1 5 x9', "'x9' is no degree; give degrees from the lowest up, such as '1 5 9 b3 b7'"],
  ['1', "A shape has two voices or more; give degrees from the lowest up, such as '1 5 9 b3 b7'"],
  ['1 5 / 3 7', "One degree stands before the slash, the bass: '3 / 1 11 7'"],
])('%s: %s', (shape, problem) => {
  expect(parseShapes(shape)).toEqual({ ok: false, problem });
});

test('a preset with shapes plays them on stage, and its strategy where none fits', () => {
  const preset: Preset = {
    ...plainPreset,
    growth: 'thirteenths',
    upper: { lowest: 52, highest: 74 },
    shape: '3 5 7 9 | 7 9 3 5',
    movement: 'taken',
  };
  const player = createPlayer({ preset });
  const chord = (...names: string[]) => {
    player.play(...names.map((name) => `on ${name}`), 'wait 60');
    player.play(...names.map((name) => `off ${name}`), 'wait 60');
    return player.engine.takeReports().at(-1)?.sent;
  };
  const first = chord('D4', 'F4', 'A4', 'C5');
  expect(first?.label).toMatch(/^own shape (3 5 7 9|7 9 3 5) over the root$/);
  expect(
    first?.voices
      .slice(1)
      .map(({ degree }) => degree)
      .sort(),
  ).toEqual(['5', '9', 'b3', 'b7']);
  const next = chord('G4', 'B4', 'D5', 'F5');
  expect(next?.label).toMatch(/^own shape/);
  const tops = [first, next].map((sent) => sent?.voices.at(-1)?.note ?? 0);
  expect(Math.abs((tops[1] ?? 0) - (tops[0] ?? 0))).toBeLessThanOrEqual(4);
  expect(player.engine.letGo(player.now())).toEqual([]);
});

test.each([
  [
    { shape: '1 x 5' },
    "The shape: 'x' is no degree; give degrees from the lowest up, such as '1 5 9 b3 b7'; mend it.",
  ],
  [
    { shape: '1 b3 3 7' },
    "The shape: b3 and 3 of '1 b3 3 7' are one and the same tone of a chord, its third; take one out, or write #9 for the tension; mend it.",
  ],
  [
    { shape: '3 5 7 | 9 11 13' },
    "The shape: '9 11 13' names no chord, since 9, 11, 13 are tensions; add 1, 3, 5 or 7; mend it.",
  ],
  [{ movement: 'taken' }, "A movement has no effect without a 'shape'; take it out."],
  [
    { shape: "1 5' 9'" },
    "The shape: '1 5' 9'' spans 38 semitones above its bass, and the register of the upper voices only 17, too few from 5' on; widen 'upper' to 38, or write its lowest tone before a slash as the bass; mend it.",
  ],
])('%j in a file is refused: %s', (changes, message) => {
  const parsed = parsePreset(spoilt(changes), 'own');
  expect(parsed.ok ? [] : parsed.problems.map((problem) => problem.message)).toEqual([message]);
  const fine = parsePreset(spoilt({ shape: '3 5 7', movement: 'taken' }), 'own');
  expect(fine.ok && parsePreset(formatPreset(fine.value), 'own')).toEqual(fine);
});

/** How many tones of the chord's scale each voice has gone on, and the form, for every voicing there. */
function throughScale(symbol: string, degrees: readonly Degree[], shape: string) {
  const harmony = harmonyOf(symbol);
  const { chord, palette } = harmony;
  const scale = membersOf(palette.universe);
  const from = degrees.map((degree) => scale.indexOf(ownTone(degree, palette).tone));
  const preset = { shape, movement: 'through-scale', strategy: 'close' } as const;
  return (shapeCandidates(preset, harmony, frame)?.voicings ?? []).map(({ upper, label }) => {
    const moves = upper.map((note, voice) => {
      const place = scale.indexOf((note - chord.root + 120) % 12);
      return (place - (from[voice] ?? 0) + scale.length) % scale.length;
    });
    return { moves, label, form: upper.map((note) => note - (upper[0] ?? 0)).join(' ') };
  });
}

test.each([
  ['3 5 7 9', ['3', '5', '7', '9']],
  ['1 11 7 3 5', ['1', '11', '7', '3', '5']],
  ["1 5 9'", ['1', '5', '9']],
] as const)(
  '%s through the scale: every voice as many chord tones or tensions on, alike on every root',
  (shape, degrees) => {
    for (const suffix of ['m7', 'maj7', '7', '6']) {
      const forms = new Set<string>();
      for (const root of roots) {
        for (const { moves, label, form } of throughScale(`${root}${suffix}`, degrees, shape)) {
          expect(new Set(moves).size, `${root}${suffix} ${label}`).toBe(1);
          expect(label).toContain(moves[0] === 0 ? shape : ` ${moves[0]} scale tone`);
          forms.add(`${moves[0]} ${form}`);
        }
      }
      // At most one form for each tone of the scale, whichever the root.
      expect(forms.size).toBeLessThanOrEqual(7);
      expect(forms.size).toBeGreaterThan(2);
    }
  },
);

test('what a strategy builds, taken from the hands, is itself again and elsewhere its transposition', () => {
  const strategies = [
    'close',
    'drop-2',
    'rootless',
    'spread',
    'fourths-and-third',
    'shell',
  ] as const;
  for (const strategy of strategies) {
    for (const suffix of ['m7', 'maj7', '7', '6']) {
      const built = candidates(strategy, harmonyOf(`D${suffix}`), frame).voicings.slice(0, 12);
      expect(built.length).toBeGreaterThan(0);
      for (const { notes, label } of built) {
        const { text, hasBass, others } = shapeOf(notes, harmonyOf(`D${suffix}`));
        expect(others, `${label} ${notes}`).toEqual([]);
        const policy = hasBass ? 'root' : 'none';
        for (const [root, up] of [
          ['D', 0],
          ['F', 3],
          ['B', -3],
        ] as const) {
          const all = voicingsOf(`${root}${suffix}`, text, 'taken', {
            ...frame,
            upper: { lowest: 28, highest: 96 },
            bass: { lowest: 24, highest: 60, policy },
          }).map((each) => each.notes.join());
          expect(all, `${text} on ${root}${suffix}`).toContain(
            notes.map((note) => note + up).join(),
          );
        }
      }
    }
  }
});
