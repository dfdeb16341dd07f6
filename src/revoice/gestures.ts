/**
 * Which notes of a file are struck as one: a block, a strum, a rolled chord. On stage this must be
 * guessed while the hand is moving; in a file the whole movement and the ends of its notes are there
 * to be looked at.
 *
 * All times here are common practice, no source.
 */

import { createQueue, type Queue } from './queue.ts';

export type Onset = {
  /** Microseconds. */
  readonly at: number;
  readonly note: number;
  /** The note on its channel, so that its end can be told from that of others. */
  readonly key: number;
  /** When it ends, as far as that is known; else infinite. */
  end: number;
};

/** Notes that begin so close together are one, whatever else they do. Microseconds. */
export const momentMicroseconds = 35_000;
/** The steps of a strum, and the whole of it. Its first strings may be stopped before its last. */
const strum = { step: 25_000, whole: 150_000 };
/** A hand that lands unevenly, when all it strikes then sounds together. */
const ragged = { step: 40_000, whole: 120_000 };
/** A rolled chord, when its notes go one way at an even pace and all sound together. */
const roll = { step: 90_000, whole: 400_000, unevenness: 3 };
/** In a roll, notes so close are one step of it. */
const stepMicroseconds = 10_000;
/** A roll has so many steps at the least; two are a bass and what follows it. */
const fewestSteps = 3;
/** With more notes a step is a chord by itself, and what follows it a melody. */
const mostInStep = 2;

/**
 * How many of the onsets, from one on, are one gesture: 1 or more.
 * @param before the onset before it, which was no gesture with it.
 */
export function gestureLength(onsets: readonly Onset[], from = 0, before?: Onset): number {
  const first = onsets[from];
  if (first === undefined) return 0;
  const block = blockEnd(onsets, from, first.at);
  const isInRun = before !== undefined && isRun(before, first, onsets[block]);
  return Math.max(block, isInRun ? from : rollEnd(onsets, from)) - from;
}

/** Whether a run that was too long for a roll goes on here, at its pace and in its direction. */
function isRun(before: Onset, first: Onset, next: Onset | undefined): boolean {
  const steps: Step[] = [];
  addStep(steps, before);
  if (!goesOn(steps, first, before.end)) return false;
  addStep(steps, first);
  return next !== undefined && goesOn(steps, next, Math.min(before.end, first.end));
}

function blockEnd(onsets: readonly Onset[], from: number, start: number): number {
  let end = from + 1;
  let firstEnd = onsets[from]?.end ?? 0;
  for (let onset = onsets[end]; onset !== undefined; onset = onsets[end]) {
    const { at } = onset;
    const step = at - (onsets[end - 1]?.at ?? at);
    const whole = at - start;
    const isStrummed = step <= strum.step && whole <= strum.whole;
    const isRagged = step <= ragged.step && whole <= ragged.whole && firstEnd > at;
    if (whole > momentMicroseconds && !isStrummed && !isRagged) break;
    // A key that comes up and is struck again was meant as it was.
    if (at > start && isStruckAgain(onsets, from, end)) break;
    firstEnd = Math.min(firstEnd, onset.end);
    end += 1;
  }
  return end;
}

/** Looks back over one gesture only, which is short unless everything stands at one moment. */
function isStruckAgain(onsets: readonly Onset[], from: number, place: number): boolean {
  const { key, at } = onsets[place] ?? { key: -1, at: 0 };
  for (let before = place - 1; before >= from && place - before <= mostKeys; before -= 1) {
    const other = onsets[before];
    if (other?.key === key && other.at < at) return true;
  }
  return false;
}

const mostKeys = 128;

type Step = { readonly at: number; lowest: number; highest: number; count: number };

function rollEnd(onsets: readonly Onset[], from: number): number {
  const first = onsets[from];
  if (first === undefined) return from;
  const steps: Step[] = [];
  let firstEnd = Number.POSITIVE_INFINITY;
  let end = from;
  for (; end < onsets.length; end += 1) {
    const onset = onsets[end];
    if (onset === undefined || !goesOn(steps, onset, firstEnd)) break;
    // What goes on and on at this pace is a run.
    if (onset.at - first.at > roll.whole) return from;
    addStep(steps, onset);
    firstEnd = Math.min(firstEnd, onset.end);
  }
  return steps.length >= fewestSteps ? end : from;
}

function goesOn(steps: readonly Step[], { at, note }: Onset, firstEnd: number): boolean {
  const last = steps.at(-1);
  if (last === undefined) return true;
  if (firstEnd <= at) return false;
  const gap = at - last.at;
  if (gap <= stepMicroseconds) return last.count < mostInStep;
  if (gap > roll.step) return false;
  const before = steps.at(-2);
  const isUp = before === undefined ? note > last.highest : last.lowest > before.highest;
  if (before !== undefined && !isUp && last.highest >= before.lowest) return false;
  if (isUp ? note <= last.highest : note >= last.lowest) return false;
  if (before === undefined) return true;
  const other = last.at - before.at;
  return Math.max(gap, other) <= Math.min(gap, other) * roll.unevenness;
}

function addStep(steps: Step[], { at, note }: Onset): void {
  const last = steps.at(-1);
  if (last === undefined || at - last.at > stepMicroseconds) {
    steps.push({ at, lowest: note, highest: note, count: 1 });
    return;
  }
  last.lowest = Math.min(last.lowest, note);
  last.highest = Math.max(last.highest, note);
  last.count += 1;
}

export type Gestures<T extends Onset> = {
  /** A note begins; no earlier than anything told before. */
  readonly strike: (onset: T) => void;
  /** A note ends; of several on one key the first that began. */
  readonly release: (key: number, at: number) => void;
  /** Time has come to this, with or without notes. */
  readonly reach: (at: number) => void;
  /** Nothing follows. */
  readonly finish: () => void;
  /** The first onset whose gesture is not known yet. */
  readonly first: () => T | undefined;
};

/** Notes that have not ended, by key; of several on one key the first that began ends first. */
export function createOpenNotes<T extends Onset>() {
  const open = new Map<number, Queue<T>>();
  return {
    add(onset: T): void {
      const same = open.get(onset.key) ?? createQueue<T>();
      open.set(onset.key, same);
      same.add(onset);
    },
    end(key: number, at: number): void {
      const onset = open.get(key)?.shift();
      if (onset !== undefined) onset.end = at;
    },
  };
}

/**
 * Makes what finds the gestures among notes.
 * @param onGesture is told each gesture, the first first, once it is sure; `isBroken` when its notes
 * are one chord though they follow each other.
 */
export type MakeGestures = <T extends Onset>(
  onGesture: (gesture: readonly T[], isBroken: boolean) => void,
) => Gestures<T>;

export const createGestures: MakeGestures = <T extends Onset>(
  onGesture: (gesture: readonly T[], isBroken: boolean) => void,
): Gestures<T> => {
  const pending = createQueue<T>();
  const open = createOpenNotes<T>();
  let before: T | undefined;

  const take = (): void => {
    const { list, from } = pending.all();
    const gesture: T[] = [];
    for (let left = gestureLength(list, from, before); left > 0; left -= 1) {
      const onset = pending.shift();
      if (onset !== undefined) gesture.push(onset);
    }
    before = gesture.length === 1 ? gesture[0] : undefined;
    onGesture(gesture, false);
  };

  const isSure = (at: number): boolean => {
    const first = pending.first();
    const last = pending.last();
    if (first === undefined || last === undefined) return false;
    return at - last.at > roll.step || at - first.at > roll.whole + roll.step;
  };

  const reach = (at: number): void => {
    while (isSure(at)) take();
  };

  return {
    strike(onset) {
      reach(onset.at);
      pending.add(onset);
      open.add(onset);
    },
    release(key, at) {
      reach(at);
      open.end(key, at);
    },
    reach,
    finish() {
      while (pending.first() !== undefined) take();
    },
    first: pending.first,
  };
};
