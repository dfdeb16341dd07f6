/**
 * A preset for an ensemble: as many voices as there are players, as far as its strategy goes, in their
 * ranges instead of its own registers. Where nobody is left for the bass, a bass player outside the
 * ensemble has it.
 */
import type { Ensemble } from '../ensemble/ensemble.ts';
import { strategyById } from '../voicing/strategies.ts';
import type { Preset, Register } from './preset.ts';

/** What was asked for by itself, and so stays as it is. */
export type Asked = {
  readonly areVoices: boolean;
  readonly isBass: boolean;
  /** The register of the upper voices. */
  readonly upper: Register | undefined;
};

function hull(registers: readonly Register[]): Register {
  return {
    lowest: Math.min(...registers.map(({ lowest }) => lowest)),
    highest: Math.max(...registers.map(({ highest }) => highest)),
  };
}

function voicesFor(preset: Preset, count: number, asked: Asked): Pick<Preset, 'voices' | 'bass'> {
  const { bass, strategy, voices } = preset;
  const [fewest, most] = strategyById(strategy).voices;
  const within = (wanted: number) => Math.max(fewest, Math.min(most, wanted));
  const hasBass = bass.policy !== 'none';
  if (asked.areVoices) return { voices, bass };
  if (!hasBass) return { voices: within(count), bass };
  if (asked.isBass || count - 1 >= fewest) return { voices: within(count - 1), bass };
  const { pedal: _, ...registers } = bass;
  return { voices: within(count), bass: { ...registers, policy: 'none' } };
}

export function presetForPlayers(preset: Preset, ensemble: Ensemble, asked: Asked): Preset {
  const { reach: _, ...rest } = preset;
  const ranges = ensemble.parts.map(({ range }) => range);
  const [lowest] = ranges;
  if (lowest === undefined) return preset;
  const { voices, bass } = voicesFor(preset, ranges.length, asked);
  const isBassTheirs = bass.policy !== 'none' && ranges.length > 1;
  return {
    ...rest,
    voices,
    upper: asked.upper ?? hull(isBassTheirs ? ranges.slice(1) : ranges),
    bass: { ...bass, lowest: lowest.lowest, highest: lowest.highest },
    players: ensemble.name,
  };
}

/** The bass was the preset's, and is nobody's in the ensemble. */
export function isBassLeft(before: Preset, after: Preset): boolean {
  return before.bass.policy !== 'none' && after.bass.policy === 'none';
}
