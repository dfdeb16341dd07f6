/**
 * Runs Handspan from a checkout: set-up when needed, then the program in this same process, so that
 * signals and the terminal are the program's own.
 *
 *   node scripts/handspan.mjs COMMAND [ARGUMENT ...]
 */
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { root } from './set-up/root.mjs';
import { setUp } from './set-up.mjs';

await setUp();
const program = join(root, 'dist', 'cli.js');
process.argv[1] = program;
await import(pathToFileURL(program).href);
