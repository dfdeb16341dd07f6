/** The project's own text files, as paths from its root with '/' between folders. */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const made = new Set(['.git', 'node_modules', 'dist', '.DS_Store']);

export function topLevelNames(): readonly string[] {
  return readdirSync(root).filter((name) => !made.has(name) && !name.endsWith('.tgz'));
}

/** Every file under `folder`, at any depth. A folder that does not exist has none. */
export function filesUnder(folder: string): readonly string[] {
  try {
    return readdirSync(`${root}${folder}`, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => `${entry.parentPath}/${entry.name}`.replaceAll('\\', '/'))
      .map((path) => path.slice(root.length).replace(/^\/+/, ''));
  } catch {
    return [];
  }
}

export function textOf(path: string): string {
  return readFileSync(`${root}${path}`, 'utf8');
}
