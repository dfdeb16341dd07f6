/** Which preset of the list is current, and which one stands beside it. The list runs in a ring. */
import type { PresetLine } from './stage-model.ts';

/** Place of the current preset in the list, named by id or by name; -1 when it is not in the list. */
export function presetPlace(presets: readonly PresetLine[], current: string): number {
  const byId = presets.findIndex((preset) => preset.id === current);
  return byId >= 0 ? byId : presets.findIndex((preset) => preset.name === current);
}

/** The preset one step on (1) or back (-1); undefined only when the list is empty. */
export function presetBeside(
  presets: readonly PresetLine[],
  current: string,
  step: 1 | -1,
): PresetLine | undefined {
  const place = presetPlace(presets, current);
  if (place < 0) return step > 0 ? presets.at(0) : presets.at(-1);
  return presets.at((place + step) % presets.length);
}
