/**
 * Runs a command with the newest released Node, which comes as an npm package and stays in the
 * cache folder: the project's own Node may be the oldest supported one.
 *
 *   node scripts/current-node.mjs npm test
 *   node scripts/current-node.mjs npm run test:alsa
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { runNpm } from './set-up/packages.mjs';
import { endWith, SetUpProblem, say } from './set-up/problem.mjs';
import { cacheFolder } from './set-up/root.mjs';
import { setUp } from './set-up.mjs';

/** The Node binaries' package for this machine, as the package `node` itself would pick it. */
function packageName({ platform, arch }) {
  const prefix = platform === 'darwin' && arch === 'arm64' ? 'node-bin' : 'node';
  return `${prefix}-${platform === 'win32' ? 'win' : platform}-${arch}`;
}

function installCurrentNode() {
  const folder = join(cacheFolder, 'current-node');
  const name = packageName(process);
  const binaries = join(folder, 'node_modules', name, 'bin');
  if (existsSync(binaries)) return binaries;
  say(`Installing ${name} …`);
  mkdirSync(folder, { recursive: true });
  // A package.json of its own, or npm would install into the project around it.
  writeFileSync(join(folder, 'package.json'), '{ "private": true }\n');
  const { status, stderr } = runNpm(['install', `${name}@latest`, '--prefix', folder], folder);
  if (status !== 0)
    throw new SetUpProblem(`npm could not install ${name}: ${stderr.trim().split('\n')[0]}`);
  return binaries;
}

const [command, ...args] = process.argv.slice(2);
try {
  if (command === undefined)
    throw new SetUpProblem(
      'give a command to run, such as: node scripts/current-node.mjs npm test',
    );
  // First, since `npm ci` would empty the cache folder.
  await setUp();
  const PATH = [installCurrentNode(), process.env.PATH].join(delimiter);
  const env = { ...process.env, PATH };
  spawnSync('node', ['--version'], { env, stdio: 'inherit' });
  const options = { env, stdio: 'inherit' };
  const { status, error } =
    command === 'npm' ? runNpm(args, undefined, options) : spawnSync(command, args, options);
  if (error !== undefined) throw new SetUpProblem(`cannot run '${command}': ${error.message}`);
  process.exitCode = status ?? 1;
} catch (error) {
  endWith(error);
}
