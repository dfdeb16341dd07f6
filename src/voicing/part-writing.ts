/**
 * Four parts: three upper voices in close or open position over a bass. Each is a line that is heard
 * as such, so that more counts between two of these voicings than in other textures: parallel fifths
 * and octaves, and what tones that want to move do in their own part.
 * Rules: common practice of part-writing, no source. Weights: ours, so that over the chorales of
 * tests/voicing/chorale-voices.test.ts parallels are as rare and sevenths resolve as often as in the
 * composer's own voices.
 */
import type { Term } from './cost-term.ts';
import type { Voicing } from './voicing.ts';

/** In the order in which `measureParts` fills them in. */
export const partTerms: readonly Term[] = [
  {
    name: 'parallels',
    weight: 30,
    unit: 'moves in parallel fifths or octaves, in four parts',
    reason: 'Two parts that go in parallel fifths or octaves are heard as one.',
  },
  {
    name: 'seventh leaves its part',
    weight: 24,
    unit: 'sevenths that another part resolves or none, in four parts',
    reason: 'A seventh is heard to go down in the part that has it.',
  },
  {
    name: 'leading note leaves its part',
    weight: 3,
    unit: 'leading notes that fall a third, and twice for other ways, in four parts',
    reason: 'It goes up to the tonic, or falls to the fifth where another part has the tonic.',
  },
];

/** Marks the voicings that stand in four parts. */
export function asParts(voicings: readonly Voicing[]): Voicing[] {
  return voicings.map((voicing) =>
    voicing.bass !== undefined && voicing.upper.length === 3
      ? { ...voicing, isInParts: true }
      : voicing,
  );
}

const fifth = 7;

function isPerfect(semitones: number): boolean {
  const interval = semitones % 12;
  return interval === 0 || interval === fifth;
}

/**
 * A fifth or an octave after the same between the same two parts, both of which move: by contrary
 * motion too, or a bass that leaps by a seventh for a second would be free.
 */
function isParallel(
  from: readonly number[],
  to: readonly number[],
  low: number,
  high: number,
): boolean {
  const before = (from[high] ?? 0) - (from[low] ?? 0);
  if (!isPerfect(before) || from[low] === to[low] || from[high] === to[high]) return false;
  return ((to[high] ?? 0) - (to[low] ?? 0)) % 12 === before % 12;
}

function hasParallels(from: readonly number[], to: readonly number[]): boolean {
  for (let low = 0; low < from.length; low += 1) {
    for (let high = low + 1; high < from.length; high += 1) {
      if (isParallel(from, to, low, high)) return true;
    }
  }
  return false;
}

type Add = (term: number, amount: number) => void;

/** Semitones that the part with this note moves. */
function motionOf(note: number, last: Voicing, next: Voicing): number {
  return (next.upper[last.upper.indexOf(note)] ?? note) - note;
}

/**
 * Adds what each of the terms measures between two voicings in four parts.
 * @param isResolving the root moves so that sevenths and leading notes resolve.
 */
export function measureParts(last: Voicing, next: Voicing, isResolving: boolean, add: Add): void {
  if (last.isInParts !== true || next.isInParts !== true) return;
  if (hasParallels(last.notes, next.notes)) add(0, 1);
  if (isResolving) measureTendencies(last, next, add);
}

function measureTendencies(last: Voicing, next: Voicing, add: Add): void {
  for (const note of last.tendencies.sevenths) {
    const motion = motionOf(note, last, next);
    if (motion > 0 || motion < -2) add(1, 1);
  }
  for (const note of last.tendencies.leadingTones) {
    const motion = motionOf(note, last, next);
    if (motion !== 0 && motion !== 1) add(2, motion === -3 || motion === -4 ? 1 : 2);
  }
}
