/** Lists cut from wide ones beside those made for each register by themselves. */
import { expect, test } from 'vitest';
import { createVoicingLists } from '../../src/analyse/voicing-lists.ts';
import { createGrower } from '../../src/harmony/chord/palette.ts';
import { spelledChordOf } from '../../src/harmony/chord/spelled-chord.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import { frameOf } from '../../src/presets/frame.ts';
import { type BassPolicy, bassPolicies, type Preset } from '../../src/presets/preset.ts';
import { candidates } from '../../src/voicing/choose.ts';
import { bestPath } from '../../src/voicing/path.ts';
import { strategies } from '../../src/voicing/strategies.ts';
import type { Voicing } from '../../src/voicing/voicing.ts';

const chords = ['Cm7', 'F7', 'Bbmaj7', 'Ebmaj7', 'Am7(b5)', 'D7(b9)', 'G', 'E7sus4'].map((text) => {
  const symbol = parseSymbol(text);
  if (!symbol.ok) throw new Error(text);
  return createGrower(undefined, 'thirteenths', {})(spelledChordOf(symbol.value).chord);
});

const widest = { upper: { lowest: 43, highest: 84 }, bass: { lowest: 28, highest: 52 } };
const registers = [
  { upper: { lowest: 45, highest: 76 }, bass: { lowest: 28, highest: 48 } },
  { upper: { lowest: 50, highest: 71 }, bass: { lowest: 33, highest: 45 } },
  { upper: { lowest: 48, highest: 81 }, bass: { lowest: 36, highest: 50 } },
  { upper: { lowest: 57, highest: 72 }, bass: { lowest: 31, highest: 42 } },
];

const textOf = (voicings: readonly (Voicing | undefined)[] = []): string =>
  voicings.map((voicing) => voicing?.notes.join(' ')).join(', ');

test('are the same, in every strategy and over every bass, and lead the same way', () => {
  let [same, cut] = [0, 0];
  strategies.forEach((strategy, place) => {
    const policies: readonly BassPolicy[] = strategy.isOnRoot
      ? ['root', 'none']
      : ['root', bassPolicies[place % bassPolicies.length] ?? 'root'];
    for (const policy of policies) {
      const lists = createVoicingLists(widest);
      for (const { upper, bass } of registers) {
        const preset = { strategy: strategy.id, voices: strategy.voices[0], upper } as Preset;
        const frame = frameOf({ ...preset, bass: { policy, ...bass } }, {}, undefined);
        const own = chords.map((each) => candidates(strategy.id, each, frame));
        const known = chords.map((each, at) => lists.list(`${at}`, strategy.id, each, frame));
        own.forEach((list, at) => {
          expect(textOf(known[at]?.voicings)).toBe(textOf(list.voicings));
          expect(known[at]?.standing.join()).toBe(list.standing.join());
          same += 1;
          if (known[at]?.voicings[0] !== list.voicings[0]) cut += 1;
        });
        const { voicings, cost } = bestPath(known, lists.movesBetween);
        const anew = bestPath(own);
        expect(`${textOf(voicings)} ${cost}`).toBe(`${textOf(anew.voicings)} ${anew.cost}`);
      }
    }
  });
  expect(same).toBeGreaterThan(700);
  expect(cut).toBe(same);
});
