/** A preset copied to the player's own, under another name. */
import { type PresetEntry, saveNewPreset } from '../../io/files/preset-files.ts';
import type { Preset } from '../../presets/preset.ts';
import { presetNameProblem, takenNameProblem } from './preset-name.ts';

/** Names of devices on Windows, where no file can be called so, whatever its ending. */
const devices = /^(?:con|prn|aux|nul|com\d|lpt\d)$/;

/** A file name for a preset's name: 'My fourths, low' → 'my-fourths-low', with a number if taken. */
export function idFor(name: string, taken: readonly string[], from = 1): string {
  const plain =
    name
      .toLowerCase()
      .normalize('NFKD')
      .replace(/\p{M}+/gu, '')
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 60) || 'preset';
  const stem = devices.test(plain) ? `${plain}-preset` : plain;
  const isTaken = (id: string): boolean => taken.some((each) => each.toLowerCase() === id);
  const numbered = (nth: number): string => (nth === 1 ? stem : `${stem}-${nth}`);
  let number = from;
  while (isTaken(numbered(number))) number++;
  return numbered(number);
}

export type Copied =
  | {
      readonly ok: true;
      readonly value: PresetEntry;
      /** The file name was taken, so that a number was added: a sentence; else ''. */
      readonly remark: string;
    }
  | { readonly ok: false; readonly problem: string };

/** Saved at once, beside `entries` and whatever else is in the folder, of which none is written over. */
export function copyPreset(
  preset: Preset,
  name: string,
  entries: readonly PresetEntry[],
  folder: string,
): Copied {
  const presets = entries.map((entry) => entry.preset);
  const problem = presetNameProblem(name) || takenNameProblem(name, presets);
  if (problem !== '') return { ok: false, problem };
  const taken = presets.map(({ id }) => id);
  const saved = saveNewPreset(
    folder,
    { ...preset, name },
    (number) => idFor(name, taken, number),
    (others) => takenNameProblem(name, others),
  );
  if (!saved.ok) return saved;
  const { file, preset: copy } = saved.value;
  const plain = idFor(name, []);
  const remark =
    copy.id === plain ? '' : `There is a preset '${plain}' already, so this one is '${copy.id}'.`;
  return { ok: true, value: { preset: copy, origin: 'own', file }, remark };
}
