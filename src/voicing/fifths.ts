/**
 * Fifth voicings: a stack of fifths, three or four parts, one of them diminished or augmented where
 * the chord asks for it. Where the fifths themselves lack the third, it stands on top of them, which
 * is how 1-5-9 becomes a ninth chord. Chord tones and available tensions only, no doubling.
 * Source: definition; the third above: common practice, no source.
 */

import { partCount } from '../common/words.ts';
import type { Harmony, Palette } from '../harmony/chord/palette.ts';
import { membersOf } from '../harmony/pitch/pitch-class-set.ts';
import { overEach, type Upper } from './bass.ts';
import { stacked, stacksOf } from './fourths.ts';
import { type Frame, noDoubling, type Strategy } from './voicing.ts';

/** Semitones of motion a diminished or augmented fifth in the stack counts as. */
const alteredPrice = 2;
/** What the third on top counts as, beside a stack of fifths alone. */
const toppedPrice = 1;
/** What a seventh (or its sixth) that is not heard counts as: fifths swallow it easily. */
const missingSeventhPrice = 3;

const perfect = 7;

function alteredFifths(stack: readonly number[]): number {
  return stack.filter((tone, index) => {
    const below = stack[index - 1];
    return below !== undefined && (tone - below + 12) % 12 !== perfect;
  }).length;
}

function stacks(palette: Palette, parts: number): number[][] {
  return stacksOf(palette, parts, [7, 6, 8]).filter((stack) => alteredFifths(stack) <= 1);
}

function lacksSeventh(palette: Palette, stack: readonly number[], bass: number | undefined) {
  const [, ...others] = membersOf(palette.guides);
  return others.some((tone) => tone !== bass && !stack.includes(tone));
}

function stackPrice(palette: Palette, stack: readonly number[], bass: number | undefined): number {
  const missing = lacksSeventh(palette, stack, bass) ? missingSeventhPrice : 0;
  return alteredFifths(stack) * alteredPrice + missing;
}

function priced(uppers: readonly Upper[], price: number, label: string): Upper[] {
  return uppers.map((upper) => ({ ...upper, price: upper.price + price, label }));
}

function plain(harmony: Harmony, frame: Frame, bass: number | undefined): Upper[] {
  const label = `${partCount(frame.voices)} fifths`;
  return stacks(harmony.palette, frame.voices).flatMap((stack) =>
    priced(stacked([stack], harmony, frame, bass), stackPrice(harmony.palette, stack, bass), label),
  );
}

/** One fifth fewer, and the third (or what stands for it) above. */
function topped(harmony: Harmony, frame: Frame, bass: number | undefined): Upper[] {
  const third = membersOf(harmony.palette.guides)[0];
  if (third === undefined || bass === third) return [];
  const parts = frame.voices - 1;
  const label = `${partCount(parts)} fifths and the third`;
  return stacks(harmony.palette, parts)
    .filter((stack) => !stack.includes(third))
    .flatMap((stack) =>
      priced(
        stacked([[...stack, third]], harmony, frame, bass),
        toppedPrice + stackPrice(harmony.palette, stack, bass),
        label,
      ),
    );
}

export const fifths: Strategy = {
  id: 'fifths',
  name: 'fifths',
  voices: [3, 4],
  narrowestUpper: 20,
  needsTensions: true,
  isOnRoot: false,
  doubling: noDoubling,
  fallbacks: ['spread', 'open', 'close'],
  members: (harmony, frame) =>
    overEach(harmony, frame, 'fifths', (bass) => [
      ...plain(harmony, frame, bass),
      ...topped(harmony, frame, bass),
    ]),
};
