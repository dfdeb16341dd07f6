/** Chords for tests, from their symbols, and frames to voice them in. Notes are MIDI note numbers. */

import { createGrower, type Growth, type Harmony } from '../../src/harmony/chord/palette.ts';
import { spelledChordOf } from '../../src/harmony/chord/spelled-chord.ts';
import { parseKey } from '../../src/harmony/key/key.ts';
import { parseSymbol } from '../../src/harmony/symbol/parse-symbol.ts';
import type { BassPolicy, Frame } from '../../src/voicing/voicing.ts';

export function harmonyOf(symbol: string, growth: Growth, keyName?: string): Harmony {
  const parsed = parseSymbol(symbol);
  if (!parsed.ok) throw new Error(parsed.problem);
  const key = keyName === undefined ? undefined : parseKey(keyName);
  if (key?.ok === false) throw new Error(key.problem);
  return createGrower(key?.value, growth, {})(spelledChordOf(parsed.value).chord);
}

/** Upper voices from `lowest` to `highest`; the bass, if there is one, from E1 to E3. */
export function frame(
  lowest: number,
  highest: number,
  voices: number,
  policy: BassPolicy = 'none',
): Frame {
  return { upper: { lowest, highest }, bass: { policy, lowest: 28, highest: 52 }, voices };
}

export const numbers = (text: string): number[] => text.split(' ').map(Number);
