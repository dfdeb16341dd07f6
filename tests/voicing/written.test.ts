/**
 * What is written sounds: the tones that a symbol names, the bass behind its slash, the root above
 * that bass, a dominant's third once. Properties over families, inversions and strategies, the roots
 * taken in turn; and over lines of chords in all keys. The checks count pitch classes themselves.
 */

import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parseChart } from '../../src/chart/parse.ts';
import { type ChartReport, chartReport } from '../../src/chart/report.ts';
import { voiceChart } from '../../src/chart/voice.ts';
import { createGrower } from '../../src/harmony/chord/palette.ts';
import { spelledChordOf } from '../../src/harmony/chord/spelled-chord.ts';
import { nameNotes } from '../../src/harmony/naming/naming.ts';
import { parsePitchClass, pitchClassOfSpelled } from '../../src/harmony/pitch/pitch-name.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { fromFileForm } from '../../src/presets/file-form.ts';
import { frameOf, obeyingBass } from '../../src/presets/frame.ts';
import { plainPresets } from '../../src/presets/plain-presets.ts';
import type { Preset } from '../../src/presets/preset.ts';
import { candidates, relaxedBy } from '../../src/voicing/choose.ts';
import type { StrategyId, Voicing } from '../../src/voicing/voicing.ts';

const names = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const nameOf = (pitchClass: number): string => names[((pitchClass % 12) + 12) % 12] ?? '';

/** Semitones above the root that each symbol names, root and plain fifth aside: definition. */
const named: Readonly<Record<string, readonly number[]>> = {
  '': [4],
  m: [3],
  dim: [3, 6],
  aug: [4, 8],
  sus4: [5],
  add9: [4, 2],
  '6': [4, 9],
  m6: [3, 9],
  '6/9': [4, 9, 2],
  'm6/9': [3, 9, 2],
  maj7: [4, 11],
  maj9: [4, 11, 2],
  maj13: [4, 11, 9],
  'maj7(#11)': [4, 11, 6],
  'maj7(#5)': [4, 11, 8],
  m7: [3, 10],
  m9: [3, 10, 2],
  m11: [3, 10, 5],
  'm7(b5)': [3, 10, 6],
  dim7: [3, 6, 9],
  'm(maj7)': [3, 11],
  '7': [4, 10],
  '9': [4, 10, 2],
  '13': [4, 10, 9],
  '7(#11)': [4, 10, 6],
  '7(b5)': [4, 10, 6],
  '7(#5)': [4, 10, 8],
  '7(b9)': [4, 10, 1],
  '7(#9)': [4, 10, 3],
  '13(b9)': [4, 10, 1, 9],
  '13(#11)': [4, 10, 6, 9],
  '7(#5,#9)': [4, 10, 8, 3],
  '7(#9,b13)': [4, 10, 3, 8],
  '7(b9,#11)': [4, 10, 1, 6],
  '7sus4': [5, 10],
  '9sus4': [5, 10, 2],
  '13sus4': [5, 10, 9],
  '7sus4(b9)': [5, 10, 1],
};

/** Chord tones that may be written in the bass: third, fifth, seventh or sixth. */
const inversions = (family: string): number[] => {
  const tones = named[family] ?? [];
  const hasFifth = !family.includes('b13');
  const fifth = family === 'dim' || /b5|dim7/.test(family) ? 6 : /#5|aug/.test(family) ? 8 : 7;
  const third = tones.find((tone) => tone === 3 || tone === 4);
  const seventh = tones.find((tone) => tone >= 9);
  return [third, hasFifth ? fifth : undefined, seventh].filter(
    (tone): tone is number => tone !== undefined,
  );
};

const folder = new URL('../../presets/', import.meta.url);
const presets = readdirSync(folder).map((file) =>
  fromFileForm(JSON.parse(readFileSync(new URL(file, folder), 'utf8')), file.replace('.json', '')),
);

const strategyIds = Object.keys(plainPresets) as StrategyId[];

function presetOf(id: string): Preset {
  const preset = presets.find((each) => each.id === id);
  if (preset === undefined) throw new Error(`no preset ${id}`);
  return preset;
}

/** Every voicing to choose from for a symbol, as a chart has it, with what each gives up. */
function voicingsOf(symbol: string, preset: Preset, lead?: number) {
  const parsed = parseSymbol(symbol);
  if (!parsed.ok) throw new Error(parsed.problem);
  const { chord, isBassWritten } = spelledChordOf(parsed.value);
  const harmony = createGrower(undefined, preset.growth, preset.family ?? {})(chord, lead);
  const free = { ...frameOf(preset, {}, undefined), ...(lead !== undefined && { lead }) };
  const frame = isBassWritten ? obeyingBass(free, preset, chord.bass) : free;
  const list = candidates(preset.strategy, harmony, frame);
  return list.voicings.map((voicing) => ({
    voicing,
    root: chord.root,
    relaxed: relaxedBy(voicing, list, harmony, frame),
    serving: list.strategy,
  }));
}

const above = (notes: readonly number[], root: number): number[] =>
  notes.map((note) => (note - root + 120) % 12);

/** What a strategy leaves out by its definition. */
function isSpared(strategy: StrategyId, tone: number, family: string): boolean {
  const isDominant = (named[family] ?? []).includes(10) && (named[family] ?? []).includes(4);
  const isThird = tone === 3 || tone === 4;
  switch (strategy) {
    case 'hybrid':
      return isThird;
    case 'shell':
      // Of a diminished seventh's three one is left out.
      return family === 'dim7' || (tone !== 3 && tone !== 4 && tone < 9);
    case 'fourths':
      return isThird && !isDominant;
    default:
      return false;
  }
}

/** Where no shape of the strategy has the root beside what else is named: enumerated, then read. */
function isRootLost(strategy: StrategyId, family: string): boolean {
  const isStack = strategy === 'fourths' || strategy === 'fourths-and-third';
  return (isStack && /^7$|maj7/.test(family)) || (strategy === 'drop-2-4' && family === 'm(maj7)');
}

const hasAnyTones = (strategy: StrategyId): boolean =>
  ['close', 'open', 'drop-2', 'drop-3', 'drop-2-4', 'spread', 'block'].includes(strategy);

/** What they leave out they leave out by what they are. */
const keepsShape = (strategy: StrategyId): boolean => ['polychord', 'shell'].includes(strategy);

const beyondRegister = 'E13(#11)/B';

type Case = { readonly symbol: string; readonly family: string; readonly bass: number | undefined };

/** Families in root position and in every inversion, three roots each, taken in turn. */
const cases: readonly Case[] = Object.keys(named).flatMap((family, turn) =>
  [undefined, ...inversions(family)].flatMap((bass, inversion) =>
    [0, 4, 8].map((shift) => {
      const root = (turn * 5 + inversion * 7 + shift) % 12;
      const slash = bass === undefined ? '' : `/${nameOf(root + bass)}`;
      return { symbol: `${nameOf(root)}${family}${slash}`, family, bass };
    }),
  ),
);

describe.each(strategyIds)('in %s', (strategy) => {
  const preset = presetOf(plainPresets[strategy]);
  const met = cases.flatMap((each) =>
    voicingsOf(each.symbol, preset).map((found) => ({ ...each, ...found })),
  );
  const tell = ({ symbol, voicing }: { symbol: string; voicing: Voicing }): string =>
    `${symbol}: ${voicing.notes.join(' ')} (${voicing.label})`;

  test('there are voicings of all', () => {
    expect(new Set(met.map(({ symbol }) => symbol)).size).toBe(
      new Set(cases.map(({ symbol }) => symbol)).size,
    );
  });

  test('the third and the seventh, the fourth of a suspension and the sixth of a sixth chord sound', () => {
    const lost = met.filter(({ family, voicing, root, serving }) => {
      const sounding = above(voicing.notes, root);
      return (named[family] ?? [])
        .slice(0, 2)
        .some((tone) => !sounding.includes(tone) && !isSpared(serving, tone, family));
    });
    expect(lost.map(tell)).toEqual([]);
  });

  // What a strategy cannot show, another one does in its place; a plain ninth alone is not worth that,
  // unless some tone is doubled instead. Two whole triads are heard as such: common practice, no source.
  test('so does all else that is named, before any tone is doubled', () => {
    const isFree = hasAnyTones(strategy);
    const lost = met.filter(({ symbol, family, voicing, root, serving }) => {
      const sounding = above(voicing.notes, root);
      const isDoubled = new Set(sounding).size < sounding.length;
      // Its b7 lies too low for the one close position of the register that has all four.
      if (keepsShape(serving) || symbol === beyondRegister) return false;
      return (named[family] ?? []).some(
        (tone) =>
          !sounding.includes(tone) &&
          !isSpared(serving, tone, family) &&
          (tone !== 2 || isFree || isDoubled),
      );
    });
    expect(lost.map(tell)).toEqual([]);
  });

  test('under a melody on what is named as well, where there is room below it', () => {
    if (strategy === 'shell') return;
    const isFree = hasAnyTones(strategy);
    const lost = cases.flatMap(({ symbol, family }, turn) => {
      if (turn % 4 !== strategyIds.indexOf(strategy) % 4) return [];
      const tones = named[family] ?? [];
      const tone = tones[turn % tones.length] ?? 0;
      const { highest } = preset.upper;
      const root = names.indexOf(/^[A-G][b#]?/u.exec(symbol)?.[0] ?? '');
      const lead = highest - ((highest - root - tone + 240) % 12);
      return voicingsOf(symbol, preset, lead)
        .filter(({ voicing, serving }) => {
          const sounding = above(voicing.notes, root);
          // What lies a semitone under the melody would blur it.
          const isBlur = (each: number): boolean => each === 2 || (each + 1) % 12 === tone;
          const next = voicing.upper.at(-2) ?? 0;
          const under = above([next], root)[0] ?? 0;
          // Only what the chord is, or what its symbol alters, may be there all the same; and the root
          // under a flat ninth, where four voices have nothing else to take.
          const isMeant = tones.slice(0, 2).includes(under) || [0, 1, 3, 6, 8].includes(under);
          return (
            voicing.upper.at(-1) !== lead ||
            (lead - next === 1 && !isMeant && isFree && serving === strategy) ||
            tones
              .slice(0, 3)
              .some(
                (each) =>
                  !keepsShape(serving) &&
                  !isBlur(each) &&
                  !sounding.includes(each) &&
                  !isSpared(serving, each, family),
              )
          );
        })
        .map(({ voicing }) => `@${lead} ${tell({ symbol, voicing })}`);
    });
    expect(lost).toEqual([]);
  });

  test('over an inversion the root sounds above', () => {
    const lost = met.filter(
      ({ family, bass, voicing, root, serving }) =>
        bass !== undefined &&
        voicing.bass !== undefined &&
        (named[family] ?? []).length < 3 &&
        !isRootLost(serving, family) &&
        !above(voicing.upper, root).includes(0),
    );
    expect(lost.map(tell)).toEqual([]);
  });

  test('the bass that is written lies below, no lower than E1, or nobody plays one', () => {
    const faults = met.filter(({ bass, voicing, root }) => {
      if (voicing.bass === undefined) return preset.bass.policy !== 'none';
      return voicing.bass < 28 || above([voicing.bass], root)[0] !== (bass ?? 0);
    });
    expect(faults.map(tell)).toEqual([]);
  });

  test('a third of a dominant sounds twice only where that is said', () => {
    const faults = met.filter(({ family, voicing, root, relaxed }) => {
      const tones = named[family] ?? [];
      const isDominant = tones.includes(4) && tones.includes(10);
      const count = above(voicing.notes, root).filter((tone) => tone === 4).length;
      return strategy !== 'block' && isDominant && count > 1 && !relaxed.includes('leading tone');
    });
    expect(faults.map(tell)).toEqual([]);
  });
});

/** The root of what the notes are heard as, as a pitch class. */
function heardRoot(notes: readonly number[]): number | undefined {
  const root = parsePitchClass(nameNotes(notes, {}).readings[0]?.root ?? '');
  return root && pitchClassOfSpelled(root);
}

// Judged by reading the notes again; where the chord alone is heard from another root (Fm6 over D), no
// tension is to blame.
test.each(strategyIds)(
  'no tension that nobody wrote makes another chord of it, in %s',
  (strategy) => {
    const preset = presetOf(plainPresets[strategy]);
    if (preset.bass.policy === 'none') return;
    const own = cases.filter(({ family }) => ['m7(b5)', 'm6', 'm6/9'].includes(family));
    const faults = own.flatMap(({ symbol, family }, turn) => {
      const root = names.indexOf(/^[A-G][b#]?/u.exec(symbol)?.[0] ?? '');
      const { highest } = preset.upper;
      const tones = [0, 7, ...(named[family] ?? [])].filter(
        (each) => each !== 7 || family !== 'm7(b5)',
      );
      const tone = tones[turn % tones.length] ?? 0;
      const leads = [undefined, highest - ((highest - root - tone + 240) % 12)];
      return leads.flatMap((lead) =>
        voicingsOf(symbol, preset, lead)
          .slice(0, 8)
          .filter(({ voicing: { notes } }) => {
            const plain = notes.filter((note) => tones.includes((note - root + 120) % 12));
            if (plain.length === notes.length || heardRoot(plain) !== root) return false;
            return heardRoot(notes) !== root;
          })
          .map(
            ({ voicing: { notes } }) => `${symbol}: ${nameNotes(notes, {}).readings[0]?.symbol}`,
          ),
      );
    });
    expect(faults).toEqual([]);
  },
);

function voiced(text: string, preset: Preset): ChartReport {
  const parsed = parseChart(text);
  if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
  const setup = { preset, key: parsed.value.key, registers: {} };
  return chartReport(voiceChart(parsed.value, setup));
}

/** A line of symbols in all keys: '[3]' stands for the note three semitones above the tonic. */
function inEveryKey(line: string): string[] {
  return names.map((_, key) =>
    line.replaceAll(/\[(\d+)\]/gu, (_match, up: string) => nameOf(key + Number(up))),
  );
}

/** The same in four keys, others for each strategy. */
function inSomeKeys(line: string, strategy: StrategyId): string[] {
  return inEveryKey(line).filter((_, key) => (key + strategyIds.indexOf(strategy)) % 3 === 0);
}

const topsOf = ({ chords }: ChartReport): number[] =>
  chords.map(({ notes }) => notes.at(-1)?.midi ?? 0);
const movesOf = (line: readonly number[]): number[] =>
  line.slice(1).map((note, at) => note - (line[at] ?? note));

describe.each(strategyIds)('lines, in %s', (strategy) => {
  const preset = presetOf(plainPresets[strategy]);

  test('a moving line inside a minor chord is heard', () => {
    // The line is the point of the four symbols: common practice, no source.
    for (const line of inSomeKeys('| [0]m7 | [0]m(maj7) | [0]m7 |', strategy)) {
      const { chords } = voiced(line, preset);
      const sevenths = chords.map(({ notes }) => notes.map(({ degree }) => degree));
      expect(sevenths[0], line).toContain('b7');
      expect(sevenths[1], line).toContain('7');
      expect(sevenths[2], line).toContain('b7');
    }
  });

  test('a bass that goes by step is played by step, a major seventh in it too', () => {
    if (preset.bass.policy === 'none') return;
    const lines = [
      ...inSomeKeys('| [0] | [0]/[11] | [9]m7 |', strategy),
      ...inSomeKeys('| [5] | [0]/[4] | [2]m7 |', strategy),
    ];
    for (const line of lines) {
      const bass = voiced(line, preset).chords.map(({ notes }) => notes[0]?.midi ?? 0);
      expect(Math.max(...movesOf(bass).map(Math.abs)), `${line} ${bass.join(' ')}`).toBeLessThan(3);
    }
  });

  test('a major seventh is no sixth, but for the last chord', () => {
    for (const line of inSomeKeys(
      '| [2]m7 | [7]7 | [0]maj7 | [9]m7 | [5]maj7 | [0]maj7 |',
      strategy,
    )) {
      const { chords } = voiced(line, preset);
      for (const { symbol, notes } of chords.slice(0, -1)) {
        if (!symbol.includes('maj7')) continue;
        expect(
          notes.map(({ degree }) => degree),
          `${line} ${symbol}`,
        ).toContain('7');
      }
    }
  });
});

// Rootless forms: D. Tymoczko, A Geometry of Music (2011), fig. 10.1.2; the root on the third degree of
// a key, where the ninth is none of the scale: from memory.
// Without it C minor seventh with a flat fifth over Gb is Ebm/Gb. Common practice, no source.
test('over a bass that is another tone of the chord the root sounds above it', () => {
  const lines = inEveryKey('key: [0]\n| [2]m7(b5)/[8] | [5]maj7/[9] | [9]m7/[7] | [0]/[4] |');
  const lost = strategyIds.flatMap((strategy) => {
    if (strategy === 'rootless') return [];
    return lines.flatMap((line) =>
      voiced(line, presetOf(plainPresets[strategy])).chords.flatMap(({ symbol, notes }) =>
        notes.some(({ degree }) => degree === '1') ? [] : [`${symbol} ${strategy}`],
      ),
    );
  });
  expect(lost).toEqual([]);
});

test('a rootless voicing has its root on the third degree alone', () => {
  for (const line of inEveryKey('key: [0]\n| [0]maj7 | [9]m7 | [2]m7 | [7]7 | [4]m7 | [9]m7 |')) {
    const { chords } = voiced(line, presetOf('rootless-hand'));
    const withRoot = chords.filter(({ notes }) => notes.some(({ degree }) => degree === '1'));
    expect(
      withRoot.map(({ symbol }) => symbol),
      line,
    ).toEqual([chords[4]?.symbol]);
  }
});

// How a key is read: common practice, no source.
test.each(strategyIds)('an altered dominant is read in sharps or in flats, in %s', (strategy) => {
  const lines = inEveryKey('key: [0]\n| [7]7(#5,#9) | [0]maj7 |');
  // A triad that stands out on top is read as one.
  if (strategy === 'polychord' || strategy === 'upper-structure') return;
  const mixed = lines.flatMap((line) =>
    voiced(line, presetOf(plainPresets[strategy])).chords.flatMap(({ symbol, notes }) => {
      const spelled = notes.map(({ name }) => name.replace(/-?\d+$/u, ''));
      const isMixed = ['#', 'b'].every((sign) => spelled.some((name) => name.endsWith(sign)));
      return isMixed ? [`${symbol}: ${spelled.join(' ')}`] : [];
    }),
  );
  expect(mixed).toEqual([]);
});

// That a melody moves, and by step: D. Huron, 'Tone and Voice' (2001), on pitch proximity; how seldom it may
// stay: common practice, no source.
test.each(['block-lead', 'block-drop-2'])('the doubled lead of %s sings', (id) => {
  const lines = inEveryKey(
    '| [2]m7 | [7]7 | [0]maj7 | [9]7(b9) | [2]m7 | [7]13 | [4]m7 | [9]7 | [5]maj7 | [5]m6 | [0]6 | [9]m7 | [2]9 | [7]7sus4 | [0]maj7 |',
  );
  const moves = lines.map((line) => movesOf(topsOf(voiced(line, presetOf(id)))).map(Math.abs));
  const all = moves.flat();
  const isStill = (line: readonly number[]): boolean =>
    line.some((_, at) => line.slice(at, at + 4).join() === '0,0,0,0');
  expect(moves.filter(isStill)).toEqual([]);
  expect(all.filter((move) => move === 0).length / all.length).toBeLessThan(0.45);
  expect(all.filter((move) => move > 4).length / all.length).toBeLessThan(0.05);
});

// Spacing: the octave between bass and tenor may be exceeded, two are hollow: common practice, no source.
test.each(presets.map((preset) => [preset.id, preset] as const))(
  'over a written bass in %s there are seldom two octaves of nothing',
  (_id, preset) => {
    const { strategy, bass, parallel } = preset;
    // Clusters stand high by what they are; a bass that is held stays where it is.
    if (bass.policy === 'none' || bass.pedal !== undefined || parallel !== undefined) return;
    if (strategy === 'cluster') return;
    const lines = inSomeKeys(
      '| [0] | [0]/[4] | [5]maj7 | [7]/[5] | [4]m7 | [9]m7/[7] | [2]7/[6] | [7]7/[5] | [0]/[4] | [7]7 | [0]6/9 |',
      strategy,
    );
    const gaps = lines.flatMap((line) =>
      voiced(line, preset).chords.map(({ notes }) => (notes[1]?.midi ?? 0) - (notes[0]?.midi ?? 0)),
    );
    expect(gaps.filter((gap) => gap > 24).length / gaps.length).toBeLessThan(0.05);
  },
);

describe('fourths lead', () => {
  // T. Pease and K. Pullig, Modern Jazz Voicings (2001), ch. 5: voiced down from the lead; the sums of
  // motion computed. That a lead goes by step and small leaps: common practice, no source.
  test('chromatic dominants move no more than their stacks have to', () => {
    for (const line of inEveryKey('| [4]m7 | [3]7 | [2]m7 | [1]7 | [0]maj7 |')) {
      const { chords } = voiced(line, presetOf('fourths-over-root'));
      const uppers = chords.map(({ notes }) => notes.slice(1).map(({ midi }) => midi));
      const sums = uppers
        .slice(1)
        .map((upper, at) =>
          upper.reduce(
            (sum, note, voice) => sum + Math.abs(note - (uppers[at]?.[voice] ?? note)),
            0,
          ),
        );
      expect(
        sums.reduce((sum, each) => sum + each, 0),
        `${line} ${sums.join(' ')}`,
      ).toBeLessThan(18);
    }
  });

  // That a third tells more than a ninth, and a stack with it more than one without: common practice.
  test('over the root a minor ninth has its third, and few other chords go without', () => {
    const lines = inEveryKey(
      '| [2]m7 | [7]7 | [0]maj7 | [9]m7 | [2]m9 | [7]13 | [4]m7 | [9]7 | [5]6 | [0]m7 | [5]7 |',
    );
    const chords = lines.flatMap((line) => voiced(line, presetOf('fourths-over-root')).chords);
    const thirdless = chords.filter(({ leftOut }) => leftOut.some((each) => /^b?3$/.test(each)));
    expect(thirdless.filter(({ symbol }) => symbol.endsWith('m9'))).toEqual([]);
    expect(thirdless.length / chords.length).toBeLessThan(0.15);
  });

  test.each(['fourths-over-root', 'fourths-over-third'])(
    'in %s the top leaps over a third seldom and over a fifth never',
    (id) => {
      const lines = inEveryKey(
        '| [2]m7 | [7]7 | [0]maj7 | [9]7(b9) | [2]m7 | [1]7 | [0]6 | [4]m7(b5) | [9]7 | [2]m9 | [7]7sus4 | [0]maj7 |',
      );
      const moves = lines.flatMap((line) =>
        movesOf(topsOf(voiced(line, presetOf(id)))).map(Math.abs),
      );
      expect(Math.max(...moves)).toBeLessThan(8);
      expect(moves.filter((move) => move > 4).length / moves.length).toBeLessThan(0.08);
    },
  );
});

/**
 * On the bass it would be a fifth, or a seventh in its place. Two triads with the sixth in them may
 * have no place over such a bass; then it is said to be left out.
 */
test.each(strategyIds)('over a bass that is no chord tone a sixth is one, in %s', (strategy) => {
  if (isSpared(strategy, 9, 'm6')) return;
  for (const line of inSomeKeys('| [0]m6/[2] | [5]m6/[7] | [7]6/[9] |', strategy)) {
    const lost = voiced(line, presetOf(plainPresets[strategy])).chords.filter(
      ({ symbol, notes, givenUp, leftOut }) => {
        const root = names.indexOf(/^[A-G][b#]?/u.exec(symbol)?.[0] ?? '');
        const sounding = notes.map(({ midi }) => (midi - root + 120) % 12);
        const isSpare = givenUp.some((each) => each.includes('instead'));
        const isSaid = strategy === 'polychord' && leftOut.includes('6');
        return !isSpare && !isSaid && (!sounding.includes(9) || sounding.includes(10));
      },
    );
    expect(lost.map(({ symbol, notes }) => [symbol, notes.map(({ name }) => name)])).toEqual([]);
  }
});

describe('a written bass and the policy of a preset', () => {
  test.each(presets.map((preset) => [preset.id, preset] as const))('%s yields', (_id, preset) => {
    const { policy, pedal } = preset.bass;
    if (policy === 'none') return;
    const wanted = [4, 7, 10, 0, 0];
    const { chords } = voiced('| C | C/E | Am | C/G | C7/Bb | F/C | Bb/C |', {
      ...preset,
      ...(preset.parallel !== undefined && { parallel: undefined }),
    } as Preset);
    const basses = chords.map(({ notes }) => (notes[0]?.midi ?? 0) % 12);
    const written = [1, 3, 4, 5, 6].map((place) => basses[place]);
    if (pedal === undefined) expect(written).toEqual(wanted);
    else expect(chords[1]?.givenUp).toContain('written bass');
  });

  test('a pedal with a note of its own stays, and says that the written bass is lost', () => {
    const preset = presetOf('fourths-on-a-pedal');
    const held = { ...preset, bass: { ...preset.bass, pedal: 33 } };
    const { chords } = voiced('| Am7 | D/F# |', held);
    expect(chords.map(({ notes }) => notes[0]?.midi)).toEqual([33, 33]);
    expect(chords[1]?.givenUp).toContain('written bass');
  });
});
