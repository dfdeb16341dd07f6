/**
 * What notes are built as, from their intervals alone: stacks, clusters, close and dropped voices,
 * a doubled lead. Notes are MIDI note numbers, lowest → highest, none twice.
 */
import { type ChordType, chordType } from '../chord/chord-type.ts';
import { relativeTo, setOfNotes } from '../pitch/pitch-class-set.ts';
import type { TechniqueId } from './technique-id.ts';

/** Semitones from each note to the next. */
export function stepsOf(notes: readonly number[]): number[] {
  return notes.slice(1).map((note, index) => note - (notes[index] ?? 0));
}

/** Semitones from the lowest note to the highest. */
export function spanOf(notes: readonly number[]): number {
  return (notes.at(-1) ?? 0) - (notes[0] ?? 0);
}

export function areDifferent(notes: readonly number[]): boolean {
  return new Set(notes.map((note) => note % 12)).size === notes.length;
}

/** All inside one octave. */
export function isClose(notes: readonly number[]): boolean {
  return notes.length >= 3 && spanOf(notes) < 12;
}

/** At least three notes, every step one of these; no pitch class twice. */
export function isStackOf(notes: readonly number[], steps: readonly number[]): boolean {
  return (
    notes.length >= 3 && areDifferent(notes) && stepsOf(notes).every((step) => steps.includes(step))
  );
}

const widestSecond = 2;
const widestThird = 4;
const widestCluster = 9;

/** Seconds, with one third among them at most; how many thirds, or undefined where it is none. */
export function thirdsInCluster(notes: readonly number[]): number | undefined {
  const steps = stepsOf(notes);
  const wide = steps.filter((step) => step > widestSecond);
  const isOne =
    notes.length >= 3 &&
    wide.length <= 1 &&
    wide.length < steps.length &&
    wide.every((step) => step <= widestThird) &&
    spanOf(notes) <= widestCluster;
  return isOne ? wide.length : undefined;
}

/** The lowest notes an octave up; undefined when that makes no close position of different notes. */
function lifted(notes: readonly number[], count: number): number[] | undefined {
  const close = notes
    .map((note, index) => (index < count ? note + 12 : note))
    .sort((one, other) => one - other);
  return spanOf(close) < 12 && new Set(close).size === notes.length ? close : undefined;
}

/** No third between two seconds. */
export function areSecondsTogether(notes: readonly number[]): boolean {
  return stepsOf(notes)
    .slice(1, -1)
    .every((step) => step <= widestSecond);
}

type Drop = Extract<TechniqueId, `drop-${string}`>;

const drops: Readonly<Record<string, Drop>> = { '2': 'drop-2', '3': 'drop-3', '2,4': 'drop-2-4' };

/**
 * Four parts in close position with voices an octave lower, counted from the top: D. Terefenko, Jazz
 * Theory, p. 47 (read second-hand).
 */
export function dropOf(notes: readonly number[]): Drop | undefined {
  if (notes.length !== 4) return undefined;
  for (const count of [1, 2]) {
    const close = lifted(notes, count);
    const voices = notes
      .slice(0, count)
      .map((note) => (close?.length ?? 0) - (close?.indexOf(note + 12) ?? 0))
      .sort((one, other) => one - other);
    const drop = close === undefined ? undefined : drops[voices.join(',')];
    if (drop !== undefined) return drop;
  }
  return undefined;
}

/** The notes without the octave below the highest one; undefined where the lead is not doubled. */
export function underDoubledLead(notes: readonly number[]): readonly number[] | undefined {
  const double = (notes.at(-1) ?? 0) - 12;
  return notes.includes(double) ? notes.filter((note) => note !== double) : undefined;
}

const triads = ['major', 'minor', 'diminished', 'augmented'].map(chordType);

export type Triad = { readonly type: ChordType /** 0–11. */; readonly root: number };

/** The triad that notes are, all of them; an augmented one stands on its lowest note. */
export function triadOf(notes: readonly number[]): Triad | undefined {
  const set = setOfNotes(notes);
  for (const note of notes) {
    const root = note % 12;
    const type = triads.find(({ tones }) => tones === relativeTo(set, root));
    if (type !== undefined) return { type, root };
  }
  return undefined;
}

/** Three neighbours that are a triad, in whatever position. Pitch classes serve as well as notes. */
export function holdsTriad(notes: readonly number[]): boolean {
  return notes.some((_, at) => {
    const three = notes.slice(at, at + 3);
    return three.length === 3 && triadOf(three) !== undefined;
  });
}

/** Semitones from the lower triad to the upper one. */
const triadsApart = { nearest: 3, furthest: 12 } as const;

const suspended = chordType('suspended-fourth');

/** What stands below: a triad, or what a suspension makes of one. */
function lowerOf(notes: readonly number[]): Triad | undefined {
  const root = (notes[0] ?? 0) % 12;
  const isSuspended = relativeTo(setOfNotes(notes), root) === suspended.tones;
  return isSuspended ? { type: suspended, root } : triadOf(notes);
}

/**
 * Six notes as two whole triads, the lower one in root position, close or open, perhaps suspended, the
 * upper one close and clear of it; undefined where they are not.
 */
export function stackedTriads(
  notes: readonly number[],
): { readonly lower: Triad; readonly upper: Triad } | undefined {
  const high = notes.slice(3);
  const [lower, upper] = [lowerOf(notes.slice(0, 3)), triadOf(high)];
  if (notes.length !== 6 || lower === undefined || upper === undefined) return undefined;
  const gap = (notes[3] ?? 0) - (notes[2] ?? 0);
  const isApart = gap >= triadsApart.nearest && gap <= triadsApart.furthest;
  const isRooted = (notes[0] ?? 0) % 12 === lower.root && lower.root !== upper.root;
  return isApart && isRooted && isClose(high) ? { lower, upper } : undefined;
}
