/**
 * Which preset of the list is current, and which one stands beside it. The list runs in a ring, and a
 * preset may stand in it more than once: the session tells which place plays.
 */
import type { PresetLine, StageModel } from './stage-model.ts';

/** First place of the preset in the list, named by id or by name; -1 when it is not in the list. */
export function presetPlace(presets: readonly PresetLine[], current: string): number {
  const byId = presets.findIndex((preset) => preset.id === current);
  return byId >= 0 ? byId : presets.findIndex((preset) => preset.name === current);
}

/** Place on stage of what plays; -1 when it is not in the list. */
export function placeThatPlays({ presets, state }: StageModel): number {
  const { preset, place } = state.snapshot;
  const isTold = place !== undefined && presets[place]?.id === preset;
  return isTold ? place : presetPlace(presets, preset);
}

/** The preset one step on (1) or back (-1); undefined only when the list is empty. */
export function presetBeside(model: StageModel, step: 1 | -1): PresetLine | undefined {
  const { presets } = model;
  const place = placeThatPlays(model);
  if (place < 0) return step > 0 ? presets.at(0) : presets.at(-1);
  return presets.at((place + step) % presets.length);
}

/** How many times what stands at the place stands before it. */
export function occurrenceAt(list: readonly { readonly id: string }[], place: number): number {
  const id = list[place]?.id;
  return list.slice(0, Math.max(0, place)).filter((each) => each.id === id).length;
}

/** What the current preset is like. One that is not in the list is named. */
export function aboutPreset({ presets, allPresets, state }: StageModel): string {
  const name = state.snapshot.preset;
  const all = allPresets ?? presets;
  return all[presetPlace(all, name)]?.about ?? name;
}
