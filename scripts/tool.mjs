/**
 * Runs a development tool written in TypeScript, after the set-up it needs.
 *
 *   node scripts/tool.mjs scripts/bench/main.ts [ARGUMENT ...]
 */
import { basename, dirname } from 'node:path';
import { pathToFileURL } from 'node:url';
import { endWith, SetUpProblem } from './set-up/problem.mjs';
import { setUp } from './set-up.mjs';

// As the program has it: development React costs several times as much.
process.env.NODE_ENV ??= 'production';
const entryPoint = process.argv[2];
try {
  if (entryPoint === undefined)
    throw new SetUpProblem('scripts/tool.mjs needs the path of a TypeScript file to run.');
  await setUp();
  const { bundleTool } = await import('./set-up/tool.mjs');
  const module = await bundleTool(entryPoint, basename(dirname(entryPoint)));
  process.argv.splice(1, 2, module);
  await import(pathToFileURL(module).href);
} catch (error) {
  endWith(error);
}
