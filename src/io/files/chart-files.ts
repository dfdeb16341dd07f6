/** The charts that lie in a folder: texts and MusicXML scores, by the names of their files. */
import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Result } from '../../common/result.ts';
import { describeFileError } from './text-file.ts';

const ending = /\.(?:txt|musicxml|mxl|xml)$/iu;

/** Names of files, with their endings, figures counted as numbers; a folder that is not there has none. */
export function listCharts(folder: string): Result<readonly string[]> {
  if (!existsSync(folder)) return { ok: true, value: [] };
  try {
    const names = readdirSync(folder, { withFileTypes: true })
      .filter((entry) => !entry.isDirectory() && !entry.name.startsWith('.'))
      .map(({ name }) => name)
      .filter((name) => ending.test(name));
    const order = new Intl.Collator('en', { numeric: true, sensitivity: 'base' });
    return { ok: true, value: names.sort(order.compare) };
  } catch (error) {
    const problem = `The charts in ${folder} cannot be listed: ${describeFileError(error)}.`;
    return { ok: false, problem };
  }
}

export function chartPath(folder: string, name: string): string {
  return join(folder, name);
}

/** What a chart is called without the ending of its file. */
export function chartName(file: string): string {
  return file.replace(ending, '');
}
