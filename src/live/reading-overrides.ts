/**
 * Readings the player has asked for: these notes over this bass are that chord, whatever the context
 * says. Masks have bit 0 for C; pitch classes are 0–11.
 */
import { type Chord, chordOf } from '../harmony/chord/chord.ts';
import {
  type PitchClass,
  type PitchClassSet,
  relativeTo,
  setOfNotes,
} from '../harmony/pitch/pitch-class-set.ts';
import { readingsOver } from '../harmony/recognition/reading-table.ts';

export type ReadingOverride = {
  /** The notes as pitch classes. */
  readonly set: PitchClassSet;
  readonly bass: PitchClass;
  readonly root: PitchClass;
  /** The chord type's tones above its root, bit 0 the root. */
  readonly tones: PitchClassSet;
};

/** The override for these notes, or undefined. */
export function overrideFor(
  notes: readonly number[],
  overrides: readonly ReadingOverride[],
): ReadingOverride | undefined {
  if (overrides.length === 0) return undefined;
  const set = setOfNotes(notes);
  const bass = Math.min(...notes) % 12;
  return overrides.find((override) => override.set === set && override.bass === bass);
}

/** The chord an override asks for; undefined when the table has no such reading of the notes. */
export function chordOfOverride(override: ReadingOverride): Chord | undefined {
  const { set, bass, root, tones } = override;
  const above = (root - bass + 12) % 12;
  const reading = readingsOver(relativeTo(set, bass)).find(
    (each) => each.rootAboveBass === above && each.type.tones === tones,
  );
  return reading && chordOf(reading, bass);
}
