/** Each chord of a passage described: how it is built and how it follows from the one before. */
import type { TechniqueId } from '../harmony/naming/technique-id.ts';
import { motionBetween } from '../voicing/motion.ts';
import { techniquesOfPassage } from '../voicing/technique-in-passage.ts';
import { type BassKind, bassKindsOf } from './bass-kinds.ts';
import { evidenceOf } from './evidence.ts';
import type { HeardChord, HeardPassage } from './heard-chord.ts';
import { asItSounds } from './plain-chord.ts';

export const motionKinds = ['parallel', 'contrary', 'similar', 'oblique', 'still'] as const;
/**
 * Of the upper voices: all the same way by nearly the same; against the bass; with the bass; while
 * the bass stays, or they stay while it moves; nothing moves.
 */
export type MotionKind = (typeof motionKinds)[number];

export type Motion = {
  /** Of all upper voices together. */
  readonly semitones: number;
  /** Upper voices that both chords have at the same pitch. */
  readonly commonTones: number;
  /** Semitones, upwards positive. */
  readonly top: number;
  /** The same of the bass; absent: one of the chords has none. */
  readonly bass?: number;
  readonly kind: MotionKind;
};

export type Doubling = {
  readonly degree: string;
  /** How often it sounds. */
  readonly times: number;
};

export type DescribedChord = HeardChord & {
  readonly technique: TechniqueId | 'none';
  readonly label: string;
  /** What shows it, in words. */
  readonly evidence: string;
  readonly bassKind: BassKind;
  /** Semitones between the outer voices above the bass. */
  readonly span: number;
  /** Semitones between neighbours, all notes from the lowest up. */
  readonly spacing: readonly number[];
  readonly doublings: readonly Doubling[];
  /** Absent: it is the first. */
  readonly motion?: Motion;
};

/** Voices that all move by the same, give or take a semitone, as a scale has it. */
const unevenness = 1;

function areParallel(from: readonly number[], to: readonly number[]): boolean {
  if (from.length !== to.length || from.length < 2) return false;
  const moves = to.map((note, voice) => note - (from[voice] ?? 0));
  const [least, most] = [Math.min(...moves), Math.max(...moves)];
  return (least > 0 || most < 0) && most - least <= unevenness;
}

function kindOf(from: HeardChord, to: HeardChord, top: number, bass: number): MotionKind {
  const isStill = from.upper.join() === to.upper.join();
  if (isStill) return bass === 0 ? 'still' : 'oblique';
  if (areParallel(from.upper, to.upper)) return 'parallel';
  const mean = (notes: readonly number[]) =>
    notes.reduce((sum, note) => sum + note, 0) / notes.length;
  const way = top === 0 ? mean(to.upper) - mean(from.upper) : top;
  if (bass === 0 || way === 0) return 'oblique';
  return way * bass < 0 ? 'contrary' : 'similar';
}

export function motionOf(from: HeardChord, to: HeardChord): Motion {
  const top = (to.upper.at(-1) ?? 0) - (from.upper.at(-1) ?? 0);
  const bass = from.bass === undefined || to.bass === undefined ? undefined : to.bass - from.bass;
  return {
    semitones: motionBetween(from.upper, to.upper),
    commonTones: to.upper.filter((note) => from.upper.includes(note)).length,
    top,
    ...(bass !== undefined && { bass }),
    kind: kindOf(from, to, top, bass ?? 0),
  };
}

function doublingsOf({ notes }: HeardChord): readonly Doubling[] {
  const byTone = new Map<number, { degree: string; times: number }>();
  for (const { midi, degree } of notes) {
    const known = byTone.get(midi % 12);
    if (known === undefined) byTone.set(midi % 12, { degree, times: 1 });
    else known.times += 1;
  }
  return [...byTone.values()].filter(({ times }) => times > 1);
}

export function stepsBetween(notes: readonly number[]): readonly number[] {
  return notes.slice(1).map((note, voice) => note - (notes[voice] ?? 0));
}

/** @param onChord told of each once. */
export function describe(
  { chords }: HeardPassage,
  onChord: () => void = () => {},
): readonly DescribedChord[] {
  const techniques = techniquesOfPassage(chords.map(asItSounds), onChord);
  const kinds = bassKindsOf(chords);
  const texts = new Map<string, string>();
  const once = (text: string): string => {
    const same = texts.get(text) ?? text;
    texts.set(text, same);
    return same;
  };
  return chords.map((heard, place): DescribedChord => {
    const { technique, label } = techniques[place] ?? { technique: 'none', label: '' };
    const before = chords[place - 1];
    const { moment, chord, symbol, isWritten, isBassWritten, notes, bass, upper, confidence } =
      heard;
    // Field by field: of a long passage there are very many, and a copied object takes twice the room.
    return {
      moment,
      place: heard.place,
      chord,
      symbol,
      isWritten,
      isBassWritten,
      notes,
      bass,
      upper,
      confidence,
      technique,
      label,
      evidence: once(evidenceOf(technique, heard)),
      bassKind: kinds[place] ?? 'none',
      span: (upper.at(-1) ?? 0) - (upper[0] ?? 0),
      spacing: stepsBetween(notes.map(({ midi }) => midi)),
      doublings: doublingsOf(heard),
      ...(before !== undefined && { motion: motionOf(before, heard) }),
    };
  });
}
