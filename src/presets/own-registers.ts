/** Whether a preset can work in registers that a player chose instead of its own. */
import type { Preset, Register } from './preset.ts';
import { findBrokenRules } from './rules.ts';

export type OwnRegisters = { readonly upper?: Register; readonly bass?: Register };

/** One sentence: what is wrong and what to do; '' when the preset finds room. */
export function registersProblem(preset: Preset, { upper, bass }: OwnRegisters): string {
  const placed: Preset = {
    ...preset,
    upper: upper ?? preset.upper,
    bass: { ...preset.bass, ...bass },
  };
  const broken = findBrokenRules(placed).find(
    ({ path: [part] }) => part === 'upper' || part === 'bass',
  );
  if (broken === undefined) return '';
  const isCrossed = broken.path.join('.') === 'bass.lowest';
  return `${broken.fault}; ${isCrossed ? 'lower the bass or raise the voices' : 'make the register wider'}.`;
}
