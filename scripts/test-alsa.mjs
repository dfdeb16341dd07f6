/**
 * The end-to-end tests among real ALSA clients: bundles tests/e2e and runs it inside
 * scripts/alsa-rig, all in one boot. Options of the rig may be given: `npm run test:alsa -- --boot`.
 */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { endWith, SetUpProblem } from './set-up/problem.mjs';
import { root } from './set-up/root.mjs';
import { bundleTool } from './set-up/tool.mjs';
import { setUp } from './set-up.mjs';

/** Emulation is 10 to 15 times slower than the machine itself. */
const secondsAtMost = '1500';
const runner = [
  'node',
  '--test-force-exit',
  '--test-reporter=spec',
  '--test-reporter-destination=stdout',
];

try {
  await setUp();
  const tests = await bundleTool('tests/e2e/main.ts', 'alsa-tests');
  // Processes that the tests start, from beside the tests.
  await bundleTool('tests/helpers/host-process.ts');
  await bundleTool('tests/helpers/echo-worker.ts');
  const options = ['--seconds', secondsAtMost, ...process.argv.slice(2)];
  const { status, error } = spawnSync(
    join(root, 'scripts', 'alsa-rig'),
    [...options, '--', ...runner, '--enable-source-maps', tests],
    { cwd: root, stdio: 'inherit' },
  );
  if (error !== undefined) throw new SetUpProblem(`cannot run scripts/alsa-rig: ${error.message}`);
  process.exitCode = status ?? 1;
} catch (error) {
  endWith(error);
}
