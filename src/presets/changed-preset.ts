/**
 * From a preset and what the command line changes of it to a preset that makes sense: another
 * strategy brings its own number of voices, the tensions it is built from and room to stand in.
 */
import type { Result } from '../common/result.ts';
import { strategyById } from '../voicing/strategies.ts';
import type { BassPolicy, Growth, Preset, Register, StrategyId } from './preset.ts';

export type Changes = {
  readonly strategy?: StrategyId;
  readonly voices?: number;
  readonly upper?: Register;
  /** Degrees from the lowest up, already checked. */
  readonly shape?: string;
  readonly bass?: { readonly policy: BassPolicy; readonly pedal?: number };
};

type Changed = Result<Preset>;

function growthFor(strategy: StrategyId, growth: Growth): Growth {
  const isTooPoor = growth === 'as-played' || growth === 'sevenths';
  return strategyById(strategy).needsTensions && isTooPoor ? 'thirteenths' : growth;
}

/** At least as wide as the strategy needs, upwards first. */
function roomFor(strategy: StrategyId, { lowest, highest }: Register): Register {
  const missing = strategyById(strategy).narrowestUpper - (highest - lowest);
  if (missing <= 0) return { lowest, highest };
  const up = Math.min(missing, 127 - highest);
  return { lowest: lowest - (missing - up), highest: highest + up };
}

function withStrategy(preset: Preset, strategy: StrategyId | undefined): Preset {
  if (strategy === undefined || strategy === preset.strategy) return preset;
  const [fewest, most] = strategyById(strategy).voices;
  const { block: _, spread: __, ...rest } = preset;
  return {
    ...rest,
    strategy,
    voices: Math.max(fewest, Math.min(most, preset.voices)),
    growth: growthFor(strategy, preset.growth),
    upper: roomFor(strategy, preset.upper),
  };
}

export function changedPreset(preset: Preset, changes: Changes): Changed {
  const base = withStrategy(preset, changes.strategy);
  const { voices = base.voices, upper = base.upper, bass } = changes;
  const [fewest, most] = strategyById(base.strategy).voices;
  if (voices < fewest || voices > most) {
    const allowed = fewest === most ? `exactly ${fewest}` : `${fewest} to ${most}`;
    return {
      ok: false,
      problem: `${voices} voices do not suit '${base.strategy}'; give ${allowed}.`,
    };
  }
  const { pedal: _, ...registers } = base.bass;
  const newBass = bass === undefined ? base.bass : { ...registers, ...bass };
  // The tensions of a shape that was asked for are meant.
  const own =
    changes.shape === undefined ? {} : { shape: changes.shape, growth: 'thirteenths' as const };
  return { ok: true, value: { ...base, voices, upper, bass: newBass, ...own } };
}
