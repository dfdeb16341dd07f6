/** A setup with a shipped preset, for tests that need a real engine. */
import { readFileSync } from 'node:fs';
import type { Setup } from '../../src/live/engine-api.ts';
import { parsePreset } from '../../src/presets/parse.ts';

export function setupWith(id: string, key?: string): Setup {
  const parsed = parsePreset(readFileSync(`presets/${id}.json`, 'utf8'), id);
  if (!parsed.ok) throw new Error(`presets/${id}.json is broken`);
  return { preset: parsed.value, ...(key !== undefined && { key }) };
}
