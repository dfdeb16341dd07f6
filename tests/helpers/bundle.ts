/** Bundles one TypeScript file so that a worker or a process of its own can run it on any Node. */
import { join } from 'node:path';
import { buildSync } from 'esbuild';

const root = join(import.meta.dirname, '..', '..');

/** Returns the bundle's path; it lies under node_modules, so that packages are found from there. */
export function bundle(file: string, name: string): string {
  const outfile = join(root, 'node_modules', '.cache', 'handspan-tests', `${name}.mjs`);
  buildSync({
    entryPoints: [join(root, file)],
    outfile,
    bundle: true,
    platform: 'node',
    format: 'esm',
    packages: 'external',
    logLevel: 'error',
  });
  return outfile;
}
