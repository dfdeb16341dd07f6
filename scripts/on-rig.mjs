/**
 * Runs a development tool written in TypeScript where a real ALSA sequencer exists: on this machine,
 * or inside scripts/alsa-rig.
 *
 *   node scripts/on-rig.mjs SECONDS MAIN.ts [OTHER.ts ...] [-- ARGUMENT ...]
 *
 * SECONDS is how long it may take at most. The others are bundled beside the main one, for tools
 * that start processes of their own.
 */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { endWith, SetUpProblem } from './set-up/problem.mjs';
import { root } from './set-up/root.mjs';
import { bundleTool } from './set-up/tool.mjs';
import { setUp } from './set-up.mjs';

try {
  const [seconds, ...words] = process.argv.slice(2);
  const end = words.indexOf('--') < 0 ? words.length : words.indexOf('--');
  if (seconds === undefined || end === 0) {
    throw new SetUpProblem('scripts/on-rig.mjs needs a number of seconds and a TypeScript file.');
  }
  await setUp();
  const modules = await Promise.all(words.slice(0, end).map((path) => bundleTool(path)));
  const command = ['node', '--enable-source-maps', modules[0], ...words.slice(end + 1)];
  const { status, error } = spawnSync(
    join(root, 'scripts', 'alsa-rig'),
    ['--seconds', seconds, '--', ...command],
    { cwd: root, stdio: 'inherit' },
  );
  if (error !== undefined) throw new SetUpProblem(`cannot run scripts/alsa-rig: ${error.message}`);
  process.exitCode = status ?? 1;
} catch (error) {
  endWith(error);
}
