/** A chart in the treatment of a strategy's plainest preset. */
import { readFileSync } from 'node:fs';
import { parseChart } from '../../src/chart/parse.ts';
import { voiceChart } from '../../src/chart/voice.ts';
import type { Treatment } from '../../src/compare/treatment.ts';
import { type Changes, changedPreset } from '../../src/presets/changed-preset.ts';
import { fromFileForm, type PresetFile } from '../../src/presets/file-form.ts';
import { plainPresets } from '../../src/presets/plain-presets.ts';
import type { StrategyId } from '../../src/presets/preset.ts';

export function treated(text: string, strategy: StrategyId, more: Changes = {}): Treatment {
  const parsed = parseChart(text);
  if (!parsed.ok) throw new Error(parsed.problems[0]?.message);
  const id = plainPresets[strategy];
  const file = readFileSync(new URL(`../../presets/${id}.json`, import.meta.url), 'utf8');
  const preset = changedPreset(fromFileForm(JSON.parse(file) as PresetFile, id), {
    strategy,
    ...more,
  });
  if (!preset.ok) throw new Error(preset.problem);
  const setup = { preset: preset.value, key: parsed.value.key, registers: {} };
  return { name: strategy, voiced: voiceChart(parsed.value, setup) };
}
