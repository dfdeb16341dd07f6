/**
 * What is chosen for one chord apart from the preset: its bass, its technique, its very notes or the
 * how manyth of its voicings. A chart writes it (chart/chosen.ts), files and the stage obey it.
 */
import { given } from '../common/given.ts';
import type { Harmony } from '../harmony/chord/palette.ts';
import { techniqueOf } from '../harmony/naming/technique.ts';
import type { Candidates } from '../voicing/choose.ts';
import { standingCost } from '../voicing/leading.ts';
import { tendenciesOf } from '../voicing/tendencies.ts';
import type { Frame, StrategyId } from '../voicing/voicing.ts';
import { changedPreset } from './changed-preset.ts';
import type { Preset } from './preset.ts';

export const chosenBasses = [
  'root',
  'third',
  'fifth',
  'seventh',
  'written',
  'line',
  'none',
] as const;
export type ChosenBass = (typeof chosenBasses)[number];

export type ChosenForChord = {
  /** The how manyth of the chord's voicings there, best first; or its notes, MIDI, lowest first. */
  readonly voicing?: number | readonly number[];
  readonly bass?: ChosenBass;
  readonly technique?: StrategyId;
};

export function isAnythingChosen({ voicing, bass, technique }: ChosenForChord): boolean {
  return voicing !== undefined || bass !== undefined || technique !== undefined;
}

/** The preset, as what is chosen for this chord changes it. */
export function presetOfChosen(preset: Preset, { technique }: ChosenForChord): Preset {
  if (technique === undefined) return preset;
  const { shape: _, movement: __, ...plain } = preset;
  const changed = changedPreset(plain, { strategy: technique });
  return changed.ok ? changed.value : plain;
}

/** @param written pitch class behind the slash; undefined: none. */
export function overChosenBass(
  frame: Frame,
  policy: ChosenBass | undefined,
  written: number | undefined,
): Frame {
  if (policy === undefined) return frame;
  const { lowest, highest } = frame.bass;
  if (policy !== 'written') return { ...frame, bass: { policy, lowest, highest } };
  // As the symbol says it, in a preset with no bass or with one of its own.
  return { ...frame, bass: { policy: 'as-played', lowest, highest, ...given('written', written) } };
}

/** Just these notes, as if a strategy had listed nothing else. */
export function exactly(notes: readonly number[], harmony: Harmony, frame: Frame): Candidates {
  const [lowest, ...rest] = notes;
  const isOverBass = frame.bass.policy !== 'none' && rest.length > 1;
  const upper = isOverBass ? rest : notes;
  const { id, label } = techniqueOf(notes, harmony.chord);
  const technique = id === '' ? ('close' as const) : id;
  const tendencies = tendenciesOf(upper, harmony);
  const bass = isOverBass ? lowest : undefined;
  const voicing = { bass, upper, notes, label, technique, price: 0, tendencies };
  const standing = Float64Array.of(standingCost(voicing, frame));
  return { voicings: [voicing], standing, fallback: [], strategy: technique, isOwn: true };
}
