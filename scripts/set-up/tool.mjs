/**
 * Development tools written in TypeScript (the bench, the end-to-end tests), which Node 20 cannot
 * run as they are: bundled into the cache folder, from where packages still resolve.
 */
import { basename, join } from 'node:path';
import { SetUpProblem } from './problem.mjs';
import { commonOptions, firstMessageOf } from './program.mjs';
import { cacheFolder } from './root.mjs';

/**
 * @param {string} entryPoint from the root: 'scripts/bench/main.ts'
 * @returns {Promise<string>} the path of the runnable module
 */
export async function bundleTool(entryPoint, name = basename(entryPoint, '.ts')) {
  const { build } = await import('esbuild');
  const outfile = join(cacheFolder, `${name}.mjs`);
  try {
    await build({ ...commonOptions, entryPoints: [entryPoint], outfile });
  } catch (error) {
    throw new SetUpProblem(`the build failed at ${firstMessageOf(error)}: correct that file.`);
  }
  return outfile;
}
