/** Presets by what a player calls them, and what to say where there is none. */

import { ownCommand } from '../../cli/own-command.ts';
import type { Result } from '../../common/result.ts';
import type { PresetCollection } from '../../io/files/preset-files.ts';
import { adviseNearest } from '../../presets/nearest.ts';
import type { Preset } from '../../presets/preset.ts';

export type FoundPreset = Result<Preset>;

/** By id, or by the name it is shown with. */
export function findPreset(
  asked: string,
  { entries, problems }: Pick<PresetCollection, 'entries' | 'problems'>,
): FoundPreset {
  const presets = entries.map((entry) => entry.preset);
  const byId = presets.find(({ id }) => id === asked);
  if (byId !== undefined) return { ok: true, value: byId };
  const called = presets.filter(({ name }) => name.toLowerCase() === asked.toLowerCase());
  const [only, other] = called;
  if (only !== undefined && other === undefined) return { ok: true, value: only };
  if (only !== undefined) {
    const ids = called.map(({ id }) => `'${id}'`).join(', ');
    return { ok: false, problem: `several presets are called '${asked}': give one of ${ids}.` };
  }
  const broken = problems.find((problem) => problem.includes(`${asked}.json`));
  const why = broken === undefined ? '' : ` (${broken.replace(/\.$/, '')})`;
  return { ok: false, problem: `${thereIsNone(asked, presets)}${why}; ${listed()}.` };
}

/** Without a full stop: "there is no preset 'fourths' (nearest: …)". */
export function thereIsNone(asked: string, presets: readonly Preset[]): string {
  // Names are what the screen shows, ids what is typed: either may be what was meant.
  const called = presets.map(({ id, name }): readonly [string, string] => [name, id]);
  const ids = presets.map(({ id }): readonly [string, string] => [id, id]);
  return `there is no preset '${asked}'${adviseNearest(asked, new Map([...called, ...ids]))}`;
}

function listed(): string {
  return `'${ownCommand('presets')}' lists them`;
}
