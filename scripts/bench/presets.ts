/** The presets that came with Handspan, for measuring. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fromFileForm } from '../../src/presets/file-form.ts';
import type { Preset } from '../../src/presets/preset.ts';

export function shippedPresets(): Preset[] {
  const folder = join(process.cwd(), 'presets');
  return readdirSync(folder)
    .filter((name) => name.endsWith('.json'))
    .map((name) =>
      fromFileForm(JSON.parse(readFileSync(join(folder, name), 'utf8')), name.replace('.json', '')),
    );
}
