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
import { readJson, root } from './set-up/root.mjs';
import { setUp } from './set-up.mjs';

const given = process.argv.slice(2);
const vitestArguments = given.filter((word) => word !== '--all');

/** What a package starts when its program is called; all of them are scripts of Node. */
function programOf(packageName, name) {
  const { bin } = readJson(join('node_modules', packageName, 'package.json'));
  return join(root, 'node_modules', packageName, typeof bin === 'string' ? bin : bin[name]);
}

/** Exit code of a package's program, its output where ours goes. */
function run(packageName, name, args, env = {}) {
  // Not by the links that npm makes: on Windows those are scripts of a shell.
  const child = spawn(process.execPath, [programOf(packageName, name), ...args], {
    cwd: root,
    stdio: 'inherit',
    env: { ...process.env, ...env },
  });
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (code) => resolve(code ?? 1));
  });
}

try {
  await setUp();
  const checks = await Promise.all([
    run('@biomejs/biome', 'biome', ['check']),
    run('typescript', 'tsc', ['-p', '.']),
  ]);
  const round = { HANDSPAN_TESTS: given.includes('--all') ? 'all' : 'short' };
  const vitest = ['run', '--config', 'tests/vitest.config.ts', ...vitestArguments];
  process.exitCode =
    checks.find((code) => code !== 0) ?? (await run('vitest', 'vitest', vitest, round));
} catch (error) {
  endWith(error);
}
