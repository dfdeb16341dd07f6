/** A preset copied to the player's own, under another name. */
import { type PresetEntry, saveOwnPreset } from '../io/preset-files.ts';
import type { Preset } from '../presets/preset.ts';
import { presetNameProblem } from './preset-name.ts';

/** A file name for a preset's name: 'My fourths, low' → 'my-fourths-low', with a number if taken. */
export function idFor(name: string, taken: readonly string[]): string {
  const stem =
    name
      .toLowerCase()
      .normalize('NFKD')
      .replace(/\p{M}+/gu, '')
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 60) || 'preset';
  const isTaken = (id: string): boolean => taken.some((each) => each.toLowerCase() === id);
  let id = stem;
  for (let number = 2; isTaken(id); number++) id = `${stem}-${number}`;
  return id;
}

/** Saved at once, beside `entries`, of which none is written over. */
export async function copyPreset(
  preset: Preset,
  name: string,
  entries: readonly PresetEntry[],
  folder: string,
): Promise<
  | { readonly ok: true; readonly value: PresetEntry }
  | { readonly ok: false; readonly problem: string }
> {
  const problem = presetNameProblem(name);
  if (problem !== '') return { ok: false, problem };
  const taken = entries.map((entry) => entry.preset.id);
  const copy: Preset = { ...preset, id: idFor(name, taken), name };
  const saved = await saveOwnPreset(folder, copy);
  if (!saved.ok) return saved;
  return { ok: true, value: { preset: copy, origin: 'own', file: saved.value } };
}
