/**
 * Registers a player has moved. They belong to the preset they were moved in, for the session: a
 * preset that is stepped to brings its own, and one that is come back to those it was moved to.
 */
import { registersProblem } from '../presets/own-registers.ts';
import type { Preset, Register } from '../presets/preset.ts';
import type { Setup } from './engine-api.ts';

function isSame(one: Register | undefined, other: Register): boolean {
  return one?.lowest === other.lowest && one.highest === other.highest;
}

/** The setup with one register moved; undefined, or moved back to where it was: the preset's own. */
export function withRegister(
  setup: Setup,
  which: 'upper' | 'bass',
  register: Register | undefined,
): Setup {
  const { [which]: _, ...rest } = setup;
  if (register === undefined || isSame(register, setup.preset[which])) return noted(rest);
  return noted({ ...rest, [which]: register });
}

/** The setup with its registers kept for when its preset comes back. */
export function noted(setup: Setup): Setup {
  const { preset, upper, bass, moved = {} } = setup;
  const own = { ...(upper !== undefined && { upper }), ...(bass !== undefined && { bass }) };
  return { ...setup, moved: { ...moved, [preset.id]: own } };
}

/** The setup with another preset, in the registers it was moved to, unless it finds no room there. */
export function withPreset(setup: Setup, preset: Preset): Setup {
  const { upper: _, bass: __, place: ___, ...rest } = setup;
  const own = setup.moved?.[preset.id] ?? {};
  return { ...rest, preset, ...(registersProblem(preset, own) === '' && own) };
}
