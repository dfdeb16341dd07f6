/** Where the project stands, whatever folder a command was called from. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('../..', import.meta.url)).replace(/[\\/]$/, '');

/** For what scripts make and may make again: ignored by Git, gone with `npm ci`. */
export const cacheFolder = join(root, 'node_modules', '.cache', 'handspan');

/** @param {string} path from the root. Returns undefined when there is no such file. */
export function readJson(path) {
  try {
    return JSON.parse(readFileSync(join(root, path), 'utf8'));
  } catch (error) {
    if (error.code === 'ENOENT') return undefined;
    throw error;
  }
}
