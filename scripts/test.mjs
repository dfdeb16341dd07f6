/**
 * `npm test`: what is written is right (biome, types), then the tests. With `--all` also the long
 * round of them: the fuzzer, properties over everything, the terminal, engraving. All else on the
 * command line goes to Vitest.
 *
 *   npm test -- [--all] [VITEST-ARGUMENT ...]
 */
import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { endWith } from './set-up/problem.mjs';
import { root } from './set-up/root.mjs';
import { setUp } from './set-up.mjs';

const given = process.argv.slice(2);
const vitestArguments = given.filter((word) => word !== '--all');

/** Exit code of a package's program, its output where ours goes. */
function run(name, args, env = {}) {
  const program = join(root, 'node_modules', '.bin', name);
  const isWindows = process.platform === 'win32';
  const child = spawn(isWindows ? `"${program}.cmd"` : program, args, {
    cwd: root,
    stdio: 'inherit',
    shell: isWindows,
    env: { ...process.env, ...env },
  });
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (code) => resolve(code ?? 1));
  });
}

try {
  await setUp();
  const checks = await Promise.all([run('biome', ['check']), run('tsc', ['-p', '.'])]);
  const round = { HANDSPAN_TESTS: given.includes('--all') ? 'all' : 'short' };
  const vitest = ['run', '--config', 'tests/vitest.config.ts', ...vitestArguments];
  process.exitCode = checks.find((code) => code !== 0) ?? (await run('vitest', vitest, round));
} catch (error) {
  endWith(error);
}
