/**
 * The bass: which tone stands under the upper voices, and joining it to them.
 */

import type { Harmony, Palette } from '../harmony/chord/palette.ts';
import { spokenDegree } from '../harmony/pitch/degree.ts';
import { has } from '../harmony/pitch/pitch-class-set.ts';
import { notesOf } from './stack.ts';
import { tendenciesOf } from './tendencies.ts';
import type { Frame, Voicing } from './voicing.ts';

/** One tone the bass may take. */
export type Bass = {
  /** Semitones above the root; undefined: no bass voice. */
  readonly interval: number | undefined;
  /** The notes it may take, ascending. */
  readonly notes: readonly number[];
  /** ' over the root', ' over the 3rd', or '' without a bass. */
  readonly spoken: string;
  /** Semitones of motion an inversion counts as, where the policy leaves a choice. */
  readonly price: number;
};

const noBass: Bass = { interval: undefined, notes: [], spoken: '', price: 0 };

type Tone = 'root' | 'third' | 'fifth' | 'seventh';

/** By what each may be represented, best first: a sixth chord's sixth stands as its seventh. */
const tones: Readonly<Record<Tone, readonly number[]>> = {
  root: [0],
  third: [4, 3],
  fifth: [7, 6, 8],
  seventh: [10, 11, 9],
};

/**
 * What an inversion costs where the bass may choose: firm over the root, warm over the third,
 * leaning over the seventh, unsettled over the fifth (a six-four). Common practice, no source.
 */
const inversionPrices: Readonly<Record<Tone, number>> = {
  root: 0,
  third: 1,
  seventh: 2,
  fifth: 2.5,
};

/** Semitones above the root of the tone that a bass may be; undefined: the chord has none. */
export function toneIn(palette: Palette, tone: Tone): number | undefined {
  // A minor chord's natural sixth is no seventh unless the chord is a sixth or diminished seventh.
  return tones[tone].find((interval) => has(palette.chordTones, interval));
}

function intervalOf(harmony: Harmony, frame: Frame): number {
  const { chord, palette } = harmony;
  switch (frame.bass.policy) {
    case 'as-played':
      return (chord.bass - chord.root + 12) % 12;
    case 'third':
    case 'fifth':
    case 'seventh':
      // A suspended chord has no third, a triad no seventh: then the root.
      return toneIn(palette, frame.bass.policy) ?? 0;
    default:
      return 0;
  }
}

function spokenOver(interval: number, palette: Palette): string {
  if (interval === 3 || interval === 4) {
    return has(palette.chordTones, interval) ? ' over the 3rd' : ' over the #9th';
  }
  return ` over the ${spokenDegree(palette.degreeAt[interval] ?? '1')}`;
}

function bassOn(interval: number, harmony: Harmony, frame: Frame, price = 0): Bass {
  const { chord, palette } = harmony;
  const isForeign =
    chord.reading.bassRole === 'foreign' &&
    interval === (chord.bass - chord.root + 12) % 12 &&
    !has(palette.chordTones, interval);
  return {
    interval,
    notes: notesOf((chord.root + interval) % 12, frame.bass),
    spoken: isForeign ? ' over the bass as played' : spokenOver(interval, palette),
    price,
  };
}

function line(harmony: Harmony, frame: Frame): Bass[] {
  const seen: number[] = [];
  return (['root', 'third', 'seventh', 'fifth'] as const).flatMap((tone) => {
    const interval = toneIn(harmony.palette, tone);
    if (interval === undefined || seen.includes(interval)) return [];
    seen.push(interval);
    return [bassOn(interval, harmony, frame, inversionPrices[tone])];
  });
}

function pedal(note: number, harmony: Harmony): Bass {
  const interval = (note - harmony.chord.root + 120) % 12;
  return { interval, notes: [note], spoken: ' over the pedal', price: 0 };
}

/** Every tone the policy allows in the bass; never empty. */
export function bassesOf(harmony: Harmony, frame: Frame): readonly Bass[] {
  const { policy, pedal: held } = frame.bass;
  if (policy === 'none') return [noBass];
  if (policy === 'pedal' && held !== undefined) return [pedal(held, harmony)];
  const { chord } = harmony;
  // A bass that is no tone of the chord was meant as such: X/n keeps its n.
  if (chord.reading.bassRole === 'foreign') {
    return [bassOn((chord.bass - chord.root + 12) % 12, harmony, frame)];
  }
  if (policy === 'line') return line(harmony, frame);
  return [bassOn(intervalOf(harmony, frame), harmony, frame)];
}

/** The root, or no bass: for strategies that stand on the root by definition. */
export function rootBass(harmony: Harmony, frame: Frame): Bass {
  return frame.bass.policy === 'none' ? noBass : bassOn(0, harmony, frame);
}

export type Upper = {
  readonly notes: readonly number[];
  readonly price: number;
  readonly isIncomplete?: boolean;
  /** In place of the strategy's label. */
  readonly label?: string;
};

/** Semitones a doubled bass pitch class counts as: by the root or fifth, by any other tone. */
const doublingPrices = { stable: 2, other: 3 } as const;

/** A pedal belongs to no chord, so that nothing above doubles it. */
function doublingPrice(upper: Upper, pitchClass: number, interval: number): number {
  if (!upper.notes.some((note) => note % 12 === pitchClass)) return 0;
  return interval === 0 || interval === 7 ? doublingPrices.stable : doublingPrices.other;
}

/** Each set of upper voices over each note of one bass tone that stays beneath it. */
export function over(
  bass: Bass,
  uppers: readonly Upper[],
  harmony: Harmony,
  label: string,
  doublesBass: 'freely' | 'at-a-price',
): Voicing[] {
  const { interval } = bass;
  const pitchClass = interval === undefined ? -1 : (harmony.chord.root + interval) % 12;
  return uppers.flatMap((upper): Voicing[] => {
    const shared = {
      upper: upper.notes,
      label: `${upper.label ?? label}${bass.spoken}`,
      tendencies: tendenciesOf(upper.notes, harmony),
      ...(upper.isIncomplete === true && { isIncomplete: true }),
    };
    if (interval === undefined) {
      return [{ ...shared, bass: undefined, notes: upper.notes, price: upper.price }];
    }
    const doubling = doublesBass === 'at-a-price' ? doublingPrice(upper, pitchClass, interval) : 0;
    const price = upper.price + bass.price + doubling;
    return bass.notes
      .filter((note) => note < (upper.notes[0] ?? 0))
      .map((note) => ({ ...shared, bass: note, notes: [note, ...upper.notes], price }));
  });
}

/** Members over every bass the policy allows; `uppersOver` lists the upper voices over each. */
export function overEach(
  harmony: Harmony,
  frame: Frame,
  label: string,
  uppersOver: (bass: number | undefined) => readonly Upper[],
  doublesBass: 'freely' | 'at-a-price' = 'at-a-price',
): Voicing[] {
  return bassesOf(harmony, frame).flatMap((bass) =>
    over(bass, uppersOver(bass.interval), harmony, label, doublesBass),
  );
}
