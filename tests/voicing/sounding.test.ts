/**
 * What results: the symbol of what really sounds, the label, and what had to be given up. Names over
 * an inverted bass are computed from the tones; that the harmony is written first and the bass behind
 * the slash: common practice, no source.
 */
import { describe, expect, test } from 'vitest';
import { parseKey } from '../../src/harmony/key/key.ts';
import { candidates, cheapest } from '../../src/voicing/choose.ts';
import { leftOut } from '../../src/voicing/left-out.ts';
import { degreeAmong, namesOf, soundingSymbol } from '../../src/voicing/sounding.ts';
import { strategyById } from '../../src/voicing/strategies.ts';
import type { BassPolicy, Frame, StrategyId } from '../../src/voicing/voicing.ts';
import { isShortRound } from '../helpers/round.ts';
import { frame, harmonyOf, numbers } from './harmonies.ts';

type Row = readonly [
  symbol: string,
  strategy: StrategyId,
  bass: BassPolicy,
  notes: string,
  sounds: string,
  label: string,
];

const rows: readonly Row[] = [
  ['A6/9', 'fourths', 'third', '37 54 59 64', 'A6/9/C#', 'three-part fourths over the 3rd'],
  ['Eadd9', 'fourths', 'third', '44 54 59 64', 'Eadd9/G#', 'three-part fourths over the 3rd'],
  ['Dm7', 'fourths', 'third', '41 55 60 65', 'Dm11/F', 'three-part fourths over the 3rd'],
  ['Amaj7', 'hybrid', 'root', '45 59 64 68', 'E/A', 'hybrid: major triad on the 5th over the root'],
  [
    'E9sus4',
    'hybrid',
    'root',
    '40 57 62 66',
    'D/E',
    'hybrid: major triad on the b7th over the root',
  ],
  [
    'Eb13(#11)',
    'upper-structure',
    'none',
    '55 61 65 69 72',
    'Eb13(#11)',
    'upper structure: major triad on the 9th',
  ],
  ['Ab7', 'rootless', 'none', '48 53 54 58', 'Ab13', 'rootless, A form'],
  ['Ebm7', 'rootless', 'none', '49 53 54 58', 'Ebm9', 'rootless, B form'],
  ['Amaj7', 'shell', 'root', '45 56 61', 'Amaj7', 'shell, R-7-3'],
  [
    'Amaj9',
    'fifths',
    'root',
    '45 52 59 61',
    'Aadd9',
    'two-part fifths and the third over the root',
  ],
  ['G7', 'close', 'seventh', '41 59 62 67', 'G7/F', 'close position over the b7th'],
  ['Am7', 'close', 'fifth', '40 55 57 60', 'Am7/E', 'close position over the 5th'],
];

describe('names', () => {
  test.each(rows)(
    '%s as %s over the %s: %s sounds %s',
    (symbol, strategy, bass, notes, sounds, label) => {
      const harmony = harmonyOf(symbol, 'thirteenths');
      const voices = numbers(notes).length - (bass === 'none' ? 0 : 1);
      const found = strategyById(strategy)
        .members(harmony, frame(45, 79, voices, bass))
        .find((each) => each.notes.join(' ') === notes);
      if (found === undefined) throw new Error(`${notes} is no member`);
      expect(soundingSymbol(found, harmony, undefined)).toBe(sounds);
      expect(found.label).toBe(label);
    },
  );
});

const policies: readonly (readonly [BassPolicy, string, readonly number[]])[] = [
  ['root', 'C7', [0]],
  ['third', 'C7', [4]],
  ['third', 'Cm7', [3]],
  ['third', 'C7sus4', [0]],
  ['fifth', 'C7', [7]],
  ['fifth', 'Cm7(b5)', [6]],
  ['seventh', 'C7', [10]],
  ['seventh', 'C6', [9]],
  ['seventh', 'C', [0]],
  ['as-played', 'C7/E', [4]],
  ['as-played', 'Gm7/C', [0]],
  ['pedal', 'C7', [2]],
  ['line', 'C7', [0, 4, 7, 10]],
];

describe('bass', () => {
  test.each(policies)('%s of %s', (policy, symbol, tones) => {
    const own = frame(52, 76, 3, policy);
    const held: Frame = { ...own, bass: { ...own.bass, pedal: 38 } };
    const list = candidates(
      'close',
      harmonyOf(symbol, 'as-played'),
      policy === 'pedal' ? held : own,
    );
    const heard = new Set(list.voicings.map(({ bass }) => (bass ?? -1) % 12));
    expect([...heard].sort((a, b) => a - b)).toEqual(tones);
  });

  test('a bass that is no tone of the chord is kept', () => {
    const list = candidates('close', harmonyOf('F#m/C', 'as-played'), frame(52, 76, 3, 'root'));
    expect(list.voicings.every(({ bass }) => (bass ?? -1) % 12 === 0)).toBe(true);
  });
});

describe('sharps and flats in one voicing', () => {
  const named = (symbol: string, key: string, notes: string): string => {
    const [bass, ...upper] = numbers(notes);
    const voicing = {
      notes: [bass ?? 0, ...upper],
      upper,
      bass,
      label: '',
      price: 0,
      tendencies: { root: 0, sevenths: [], leadingTones: [] },
    };
    const parsed = parseKey(key);
    if (!parsed.ok) throw new Error(parsed.problem);
    return namesOf(voicing, harmonyOf(symbol, 'thirteenths', key), parsed.value).voices.join(' ');
  };

  // Common practice, no source.
  test.each([
    ['C#dim7', 'Gm', '37 52 58 67 75', 'C#2 E3 Bb3 G4 Eb5'],
    ['Edim7', 'Db', '40 55 58 61 66', 'E2 G3 Bb3 Db4 Gb4'],
    ['A7(b9)', 'Gm', '45 55 58 61 75', 'A2 G3 Bb3 C#4 Eb5'],
    // What the symbol names stays as it names it.
    ['D7(b9)', 'Gm', '38 54 60 63', 'D2 F#3 C4 Eb4'],
    ['G7(b9,#11)', 'Cm', '43 53 56 59 61', 'G2 F3 Ab3 B3 C#4'],
  ])('%s in %s: %s is %s', (symbol, key, notes, names) => {
    expect(named(symbol, key, notes)).toBe(names);
  });
});

describe('symbols of what sounds', () => {
  const sounds = (symbol: string, notes: string, key?: string): string => {
    const [bass, ...upper] = numbers(notes);
    const all = [bass ?? 0, ...upper];
    const voicing = {
      notes: all,
      upper,
      bass,
      label: '',
      price: 0,
      tendencies: { root: 0, sevenths: [], leadingTones: [] },
    };
    return soundingSymbol(voicing, harmonyOf(symbol, 'thirteenths', key), undefined);
  };

  // How charts write them: the seventh first, then tensions low to high. Common practice, no source.
  test.each([
    ['C7(b13)', '48 58 64 67 68', 'C7(b13)'],
    ['C7(b13)', '44 48 58 62 64', 'C9(b13)/Ab'],
    ['C7(b5)', '42 48 58 62 64', 'C9(b5)/Gb'],
    ['C7(#5)', '48 58 64 66 68', 'C7(#5,#11)'],
    ['C7sus4(b9)', '48 61 65 67 68 70', 'C7sus4(b9,b13)'],
    ['Cm(maj7)', '48 51 59 62 65 69', 'Cm(maj13)'],
    ['Cm(maj7)', '48 51 59 62 69', 'Cm(maj13)'],
    ['Cm6', '48 57 63 67 71 74', 'Cm(maj13)'],
    ['Cdim7', '45 54 60 63', 'Cdim7/A'],
    ['C/Bb', '46 52 57 62', 'C13/Bb'],
  ])('%s sounding as %s is %s', (symbol, notes, written) => {
    expect(sounds(symbol, notes)).toBe(written);
  });

  // 13 belongs to a seventh chord, 6 to one without: common practice, no source.
  test.each([
    ['Cmaj7', '48 52 57 62', '6'],
    ['Cmaj7', '48 52 57 59', '13'],
    ['C6/9', '48 52 57 62', '6'],
    ['C7', '48 52 58 69', '13'],
    ['Cdim7', '48 51 54 57', 'bb7'],
  ])('%s sounding as %s holds the %s', (symbol, notes, degree) => {
    const sounding = numbers(notes);
    const harmony = harmonyOf(symbol, 'thirteenths');
    const sixth = sounding.find((note) => note % 12 === 9) ?? 0;
    expect(degreeAmong(sounding, sixth, harmony)).toBe(degree);
  });
});

test('what is suspended for a third is a second, and no ninth', () => {
  // Common practice, no source: sus2 names it.
  const harmony = harmonyOf('Csus2', 'thirteenths');
  expect([48, 55, 60, 62].map((note) => degreeAmong([48, 55, 60, 62], note, harmony))).toEqual([
    '1',
    '5',
    '1',
    '2',
  ]);
});

describe('what the symbol names comes before root and fifth', () => {
  const chosen = (symbol: string, strategy: StrategyId, own: Frame) => {
    const harmony = harmonyOf(symbol, 'as-played');
    const found = cheapest(candidates(strategy, harmony, own), undefined, harmony, own);
    if (found === undefined) throw new Error(`no voicing of ${symbol}`);
    const { notes, upper } = found.voicing;
    const called = (note: number): string => degreeAmong(notes, note, harmony);
    return {
      upper: upper.map(called).toSorted(),
      relaxed: found.relaxed,
      leftOut: leftOut(found.voicing, harmony, 'written'),
    };
  };

  // Guide tones first, then the altered tones, root and fifth last: common practice, no source. (R.
  // Hutchinson, Music Theory for the 21st-Century Classroom, section 31.7, omits the fifth where five
  // voices need it; its root is always the lowest of them.) That a voice more is a smaller change
  // than a written tone less: common practice, no source.
  test.each([
    ['Bb7(#9,#5)', 4, '#5 #9 3 b7', ''],
    ['Bb7(b9,b13)', 4, '3 b13 b7 b9', ''],
    ['Bb13(b9)', 4, '13 3 b7 b9', ''],
    ['Bb7(#9,#5)', 3, '#5 #9 3 b7', 'three-part (one voice more)'],
    ['Bb7(b9,b13)', 3, '3 b13 b7 b9', 'three-part (one voice more)'],
    ['Bb7(b9,#11)', 3, '#11 3 b7 b9', 'three-part (one voice more)'],
    ['Bb13(b9)', 3, '13 3 b7 b9', 'three-part (one voice more)'],
    ['Bb9(#5)', 3, '#5 3 9 b7', 'three-part (one voice more)'],
    ['Bb9', 3, '3 9 b7', ''],
    ['Bbm7(b5)', 3, 'b3 b5 b7', ''],
  ])('%s in close position with %i voices over its root', (symbol, voices, tones, given) => {
    const found = chosen(symbol, 'close', frame(50, 67, voices, 'root'));
    expect(found).toEqual({
      upper: tones.split(' '),
      relaxed: [given].filter(Boolean),
      leftOut: [],
    });
  });

  test.each(['close', 'drop-2', 'open', 'spread'] as const)(
    'a diminished seventh keeps its four tones in %s, over its root and over none',
    (strategy) => {
      // It is made of nothing else: definition.
      for (const policy of ['root', 'none'] as const) {
        const harmony = harmonyOf('Adim7', 'thirteenths');
        const own = frame(48, 76, 4, policy);
        const list = candidates(strategy, harmony, own);
        const best = cheapest(list, undefined, harmony, own);
        const classes = new Set(best?.voicing.notes.map((note) => note % 12));
        expect([9, 0, 3, 6].filter((tone) => !classes.has(tone))).toEqual([]);
      }
    },
  );

  test('a hybrid has what the symbol alters, or another texture serves', () => {
    // The table of hybrids: no upper triad of a seventh with a raised ninth leaves the third out.
    const own = frame(50, 70, 3, 'root');
    expect(chosen('Bb7(#9)', 'hybrid', own)).toEqual({
      upper: ['#9', '3', 'b7'],
      relaxed: ['hybrid (spread instead)'],
      leftOut: [],
    });
  });
});

describe('fourths', () => {
  // T. Pease and K. Pullig, Modern Jazz Voicings (2001), ch. 5: 'if necessary a third'.
  const listOf = (symbol: string, voices: number) => {
    const own = frame(48, 79, voices, 'root');
    const harmony = harmonyOf(symbol, 'thirteenths');
    const list = candidates('fourths', harmony, own);
    const first = cheapest(list, undefined, harmony, own)?.voicing.label;
    return { first, labels: [...new Set(list.voicings.map(({ label }) => label))] };
  };

  const everyRoot = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'];

  // A fourth and a third of three voices are a triad turned round. Definition.
  test.each(['', 'm'])(
    'a bare triad%s is stacked in fourths on every root, and keeps its third',
    (suffix) => {
      for (const root of everyRoot) {
        const harmony = harmonyOf(`${root}${suffix}`, 'thirteenths');
        const { voicings } = candidates('fourths', harmony, frame(48, 74, 3, 'root'));
        expect(voicings.length).toBeGreaterThan(0);
        for (const { upper, notes } of voicings) {
          const steps = upper.slice(1).map((note, voice) => note - (upper[voice] ?? 0));
          expect([root, steps.every((step) => step === 5 || step === 6)]).toEqual([root, true]);
          const third = (harmony.chord.root + (suffix === 'm' ? 3 : 4)) % 12;
          expect(notes.some((note) => note % 12 === third)).toBe(true);
        }
      }
    },
  );

  // Without it Cm6 is heard as C6, Cm(maj7) as Cmaj7 and Cmaj7 as either. Common practice, no source.
  test.each(['m6', 'm6/9', 'm(maj7)', 'maj7', 'maj7(#5)', 'add9', '7', '9'])(
    'a chord %s keeps its third in three fourths on every root, over root, fifth and seventh',
    (suffix) => {
      for (const root of everyRoot)
        for (const policy of ['root', 'fifth', 'seventh'] as const) {
          const harmony = harmonyOf(`${root}${suffix}`, 'thirteenths');
          const third =
            (harmony.chord.root + (suffix.startsWith('m') && !suffix.startsWith('maj') ? 3 : 4)) %
            12;
          const { voicings } = candidates('fourths', harmony, frame(48, 74, 3, policy));
          const without = voicings.filter(
            ({ notes }) => !notes.some((note) => note % 12 === third),
          );
          const whole = without.filter(({ isIncomplete }) => isIncomplete !== true);
          expect([root, policy, whole.map(({ notes }) => notes)]).toEqual([root, policy, []]);
        }
    },
  );

  test('a minor seventh may go without its third, and it is said', () => {
    const own = frame(48, 74, 3, 'root');
    for (const root of everyRoot) {
      const harmony = harmonyOf(`${root}m7`, 'thirteenths');
      const { voicings } = candidates('fourths', harmony, own);
      const told = voicings.map((voicing) => [
        voicing.notes.some((note) => (note - harmony.chord.root + 120) % 12 === 3),
        !leftOut(voicing, harmony, 'held').includes('b3'),
      ]);
      expect(told.some(([sounds]) => sounds === false)).toBe(true);
      for (const [sounds, isSaid] of told) expect(sounds).toBe(isSaid);
    }
  });

  test.each(['Cm7', 'C6/9'])('%s takes no third: fourths alone show it', (symbol) => {
    expect(listOf(symbol, 3).labels).toEqual(['three-part fourths over the root']);
  });

  test.each(['Cmaj7', 'C7', 'C7sus4'])('%s begins without, and takes one to lead to', (symbol) => {
    const { first, labels } = listOf(symbol, 3);
    expect(first).toBe('three-part fourths over the root');
    expect(labels).toContain('fourths with a third over the root');
  });

  test.each(['Cm7(b5)', 'Cdim7', 'C7(b9,b13)'])('%s takes one', (symbol) => {
    expect(listOf(symbol, 3).labels).toEqual(['fourths with a third over the root']);
  });

  test('an altered dominant takes a fourth voice, for its fifth', () => {
    expect(listOf('C7alt', 3).first).toBe('four-part fourths over the root');
  });

  test('five voices show a half-diminished chord without', () => {
    expect(listOf('Cm7(b5)', 5).first).toBe('five-part fourths over the root');
  });
});

describe('what does not sound is said', () => {
  const absent = (symbol: string, strategy: StrategyId, asked: 'held' | 'written', own: Frame) => {
    const harmony = harmonyOf(symbol, 'thirteenths');
    const found = cheapest(candidates(strategy, harmony, own), undefined, harmony, own);
    return found === undefined ? ['none'] : leftOut(found.voicing, harmony, asked);
  };

  // What the voicings lack of the symbols: definition. That root and fifth go without saying, and
  // the ninth of a written thirteenth: common practice, no source.
  test.each([
    ['Cm9', 'shell', 2, 'written', '9'],
    ['C13', 'shell', 2, 'written', '13'],
    ['C13', 'shell', 2, 'held', '9 13'],
    ['Cm7(b5)', 'shell', 2, 'written', 'b5'],
    ['Cm9', 'fourths', 3, 'held', '9'],
    ['C9sus4', 'fourths', 3, 'held', ''],
    ['Cm(maj7)', 'fourths', 3, 'held', ''],
    ['C7alt', 'fourths', 3, 'written', ''],
    ['C7alt', 'fourths', 4, 'written', ''],
    ['Cmaj9', 'hybrid', 3, 'held', ''],
    ['C13', 'hybrid', 3, 'written', ''],
    ['C6', 'hybrid', 3, 'written', ''],
    ['C9', 'drop-2', 4, 'held', ''],
    ['Csus2', 'shell', 2, 'held', ''],
  ] as const)('%s as %s with %i voices, %s: %s', (symbol, strategy, voices, asked, wanted) => {
    const own = frame(48, 79, voices, 'root');
    expect(absent(symbol, strategy, asked, own).join(' ')).toBe(wanted);
  });
});

describe('what is given up is said', () => {
  const given = (symbol: string, strategy: StrategyId, own: Frame): readonly string[] => {
    const harmony = harmonyOf(symbol, 'thirteenths');
    return (
      cheapest(candidates(strategy, harmony, own), undefined, harmony, own)?.relaxed ?? ['none']
    );
  };

  test('nothing in a register with room', () => {
    expect(given('Amaj7', 'drop-2', frame(50, 76, 4, 'root'))).toEqual([]);
  });

  test('the register when it is too small', () => {
    expect(given('Amaj7', 'drop-2', frame(60, 66, 4, 'root'))).toContain(
      'register of the upper voices',
    );
  });

  test('the strategy when the chord has none of its voicings', () => {
    expect(given('A7(#9)', 'hybrid', frame(50, 76, 3, 'root'))).toContain(
      'hybrid (spread instead)',
    );
  });

  test('the bass where the strategy stands on the root', () => {
    expect(given('Amaj7', 'hybrid', frame(50, 76, 3, 'third'))).toContain('bass policy');
  });

  test('the reach when hands cannot take it', () => {
    const hands = { ...frame(50, 79, 5, 'none'), reach: 6 };
    expect(given('A13', 'fourths', hands)).toContain('reach');
  });

  test('the lead when nothing stands under it', () => {
    const own = { ...frame(50, 76, 4, 'none'), lead: 66 };
    expect(given('C7', 'close', own)).toContain('lead');
  });

  test('low limits where the whole keyboard is below them', () => {
    const low: Frame = {
      upper: { lowest: 0, highest: 12 },
      bass: { policy: 'root', lowest: 0, highest: 5 },
      voices: 4,
    };
    const relaxed = given('C7', 'close', low);
    expect(relaxed).toContain('low interval limits');
  });

  test('a register anywhere on the keyboard never means silence', () => {
    for (let lowest = 0; lowest <= 124; lowest += isShortRound ? 12 : 4) {
      const own: Frame = {
        upper: { lowest, highest: lowest + 3 },
        bass: { policy: 'line', lowest: 0, highest: 127 },
        voices: 4,
      };
      for (const symbol of ['C', 'F#7alt', 'Bbm7(b5)', 'Dmaj13', 'Ebdim7']) {
        expect(given(symbol, 'fourths', own), `${symbol} at ${lowest}`).not.toEqual(['none']);
      }
    }
  });
});
