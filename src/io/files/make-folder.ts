/**
 * Folders, one level at a time. Node's own `recursive` never returns where a parent exists but takes
 * no folder and says so with ENOENT, as /proc does: seen with Node 20. A wrong HANDSPAN_HOME must not
 * stop the stage.
 */
import { existsSync, mkdirSync } from 'node:fs';
import { dirname, resolve } from 'node:path';

/**
 * Makes the folder and those above it, for their owner alone; fine when it is there.
 * @throws as node:fs does.
 */
export function makeFolder(folder: string): void {
  const path = resolve(folder);
  if (existsSync(path)) return;
  const above = dirname(path);
  if (above !== path) makeFolder(above);
  try {
    mkdirSync(path, 0o700);
  } catch (error) {
    // Somebody else was faster.
    if (!existsSync(path)) throw error;
  }
}
