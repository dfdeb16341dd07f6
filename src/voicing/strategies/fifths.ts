/**
 * Fifth voicings: a stack of fifths, three or four parts, one of them diminished or augmented where
 * the chord asks for it. Where the fifths themselves lack the third, it stands on top of them, which
 * is how 1-5-9 becomes a ninth chord. Chord tones and available tensions only, no doubling.
 * Where these show no altered or diminished chord, two of the fifths may be altered, and another of
 * the chord's tones may stand on top: 13-3-b7 with the b9.
 * Source: definition; what stands above: common practice, no source.
 */

import { partCount } from '../../common/words.ts';
import type { Harmony, Palette } from '../../harmony/chord/palette.ts';
import { holdsTriad } from '../../harmony/naming/shape.ts';
import { spokenDegree } from '../../harmony/pitch/degree.ts';
import { membersOf } from '../../harmony/pitch/pitch-class-set.ts';
import { overEach, type Upper } from '../bass.ts';
import { type Frame, noDoubling, type Strategy } from '../voicing.ts';
import { stacked, stacksOf } from './fourths.ts';

/** Semitones of motion a diminished or augmented fifth in the stack counts as. */
const alteredPrice = 2;
/** What the third on top counts as, beside a stack of fifths alone; what another tone does. */
const toppedPrice = 1;
const otherTopPrice = 3;
/** What a seventh (or its sixth) that is not heard counts as: fifths swallow it easily. */
const missingSeventhPrice = 3;

const perfect = 7;

function alteredFifths(stack: readonly number[]): number {
  return stack.filter((tone, index) => {
    const below = stack[index - 1];
    return below !== undefined && (tone - below + 12) % 12 !== perfect;
  }).length;
}

function stacks(palette: Palette, parts: number, mostAltered = 1): readonly (readonly number[])[] {
  return stacksOf(palette, parts, { own: [perfect], others: [6, 8], mostOthers: mostAltered });
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
  // Four voices that hold an open triad are a drop 2 and 4 of a seventh chord rather than fifths.
  return stacks(harmony.palette, frame.voices)
    .filter((stack) => stack.length < 4 || !holdsTriad(stack))
    .flatMap((stack) =>
      priced(
        stacked([stack], harmony, frame, bass),
        stackPrice(harmony.palette, stack, bass),
        label,
      ),
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

/**
 * Two altered fifths, and any tone of the chord on top of one fifth fewer. A fifth and an augmented
 * one are an open triad (1-5-3) rather than a stack.
 */
function altered(harmony: Harmony, frame: Frame, bass: number | undefined): Upper[] {
  const { palette } = harmony;
  const { voices } = frame;
  const whole = stacks(palette, voices, 2)
    .filter((stack) => !holdsTriad(stack))
    .map((stack) => ({
      tones: stack,
      price: stackPrice(palette, stack, bass),
      label: `${partCount(voices)} fifths`,
    }));
  const under = stacks(palette, voices - 1, voices > 3 ? 2 : 1).filter(
    (stack) => !holdsTriad(stack),
  );
  const withTop = membersOf(palette.chordTones).flatMap((top) =>
    under
      .filter((stack) => !stack.includes(top) && top !== bass)
      .map((stack) => ({
        tones: [...stack, top],
        price: otherTopPrice + stackPrice(palette, stack, bass),
        label: `${partCount(voices - 1)} fifths and the ${spokenDegree(palette.degreeAt[top] ?? '1')}`,
      })),
  );
  return [...whole, ...withTop].flatMap(({ tones, price, label }) =>
    priced(stacked([tones], harmony, frame, bass), price, label),
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
  atNeed: (harmony, frame) =>
    overEach(harmony, frame, 'fifths', (bass) => altered(harmony, frame, bass)),
};
