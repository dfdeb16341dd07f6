/**
 * Turning tone templates into notes: an order of pitch classes, stacked nearest-above, at every
 * octave that fits a register.
 */
import type { Register } from './register.ts';

/**
 * Every way to stack `intervals` (semitones above the root, in the order low → high) inside the
 * register, each next voice the nearest such tone above the one below.
 */
export function stackWithin(
  intervals: readonly number[],
  root: number,
  register: Register,
): number[][] {
  const first = intervals[0];
  if (first === undefined) return [];
  const stacks: number[][] = [];
  const pitchClass = (root + first) % 12;
  const start = register.lowest + ((((pitchClass - register.lowest) % 12) + 12) % 12);
  for (let lowest = start; lowest <= register.highest; lowest += 12) {
    const stack = stackFrom(lowest, intervals);
    if ((stack.at(-1) ?? 128) <= register.highest) stacks.push(stack);
  }
  return stacks;
}

/** The same from one lowest note. */
export function stackFrom(lowest: number, intervals: readonly number[]): number[] {
  const stack = [lowest];
  let note = lowest;
  for (let voice = 1; voice < intervals.length; voice += 1) {
    const step = ((intervals[voice] ?? 0) - (intervals[voice - 1] ?? 0) + 24) % 12;
    note += step === 0 ? 12 : step;
    stack.push(note);
  }
  return stack;
}

/** Every note of a pitch class inside a register, ascending. */
export function notesOf(pitchClass: number, register: Register): number[] {
  return stackWithin([pitchClass % 12], 0, register).map((stack) => stack[0] ?? 0);
}

/** Every order of a few things. */
export function ordersOf<T>(list: readonly T[]): T[][] {
  if (list.length <= 1) return [[...list]];
  return list.flatMap((first, index) =>
    ordersOf(list.filter((_, other) => other !== index)).map((rest) => [first, ...rest]),
  );
}

/** The n rotations of a list: root position and its inversions. */
export function rotations<T>(list: readonly T[]): T[][] {
  return list.map((_, shift) => [...list.slice(shift), ...list.slice(0, shift)]);
}
