/** The list on the presets page: which presets it shows, and where its cursor is. */
import { occurrenceAt, placeThatPlays, presetPlace } from './preset-choice.ts';
import type { PresetLine, PresetList, StageModel } from './stage-model.ts';
import type { View } from './view.ts';

export function allPresetsOf(model: StageModel): readonly PresetLine[] {
  return model.allPresets ?? model.presets;
}

export function listsOf(model: StageModel): readonly PresetList[] {
  if (model.lists !== undefined && model.lists.length > 0) return model.lists;
  const ids = model.presets.map((preset) => preset.id);
  return [{ name: '', title: 'all presets', ids, isSetlist: false }];
}

/** The list on the page: the one asked for, else the one on stage. */
export function listShown(model: StageModel, view: View): PresetList {
  const lists = listsOf(model);
  const name = view.listShown ?? model.listOnStage ?? '';
  const [everything] = lists;
  const found = lists.find((list) => list.name === name) ?? everything;
  return found ?? { name: '', title: 'all presets', ids: [], isSetlist: false };
}

/** Presets of the list that match the search, in the list's order: that in which the stage steps. */
export function presetsShown(model: StageModel, view: View): readonly PresetLine[] {
  const byId = new Map(allPresetsOf(model).map((preset) => [preset.id, preset]));
  const words = view.search.toLowerCase().split(/\s+/).filter(Boolean);
  const list = listShown(model, view);
  return list.ids.flatMap((id) => {
    const preset = byId.get(id);
    if (preset === undefined) return [];
    const text = `${preset.id} ${preset.name} ${preset.about}`.toLowerCase();
    return words.every((word) => text.includes(word)) ? [preset] : [];
  });
}

/** Place of the cursor in `presetsShown`: where it was left, else on the preset that plays. */
export function cursorPlace(model: StageModel, view: View): number {
  const shown = presetsShown(model, view);
  const left = placeOf(shown, view.presetCursor, view.presetOccurrence);
  return Math.max(0, left >= 0 ? left : shownPlaceThatPlays(model, view));
}

/** Place in `presetsShown` of what plays; in another list than that on stage, the first of it. */
export function shownPlaceThatPlays(model: StageModel, view: View): number {
  const shown = presetsShown(model, view);
  const { preset } = model.state.snapshot;
  if (listShown(model, view).name !== (model.listOnStage ?? '')) return presetPlace(shown, preset);
  const occurrence = occurrenceAt(model.presets, placeThatPlays(model));
  const place = placeOf(shown, preset, occurrence);
  return place >= 0 ? place : presetPlace(shown, preset);
}

function placeOf(
  presets: readonly PresetLine[],
  id: string | undefined,
  occurrence: number,
): number {
  const places = presets.flatMap((each, place) => (each.id === id ? [place] : []));
  return places[occurrence] ?? places.at(-1) ?? -1;
}

export function presetAtCursor(model: StageModel, view: View): PresetLine | undefined {
  return presetsShown(model, view)[cursorPlace(model, view)];
}
