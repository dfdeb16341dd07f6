/**
 * The packages of package-lock.json, in node_modules.
 * npm writes what it installed to node_modules/.package-lock.json as its last step, so an
 * interrupted install leaves none; comparing the two needs no stamp of our own and also accepts
 * what `npm install` did.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { SetUpProblem, say } from './problem.mjs';
import { readJson, root } from './root.mjs';

/** Optional packages are for some platforms only, so one that is absent is no difference. */
function isSame(wanted, installed) {
  if (installed === undefined) return wanted.optional === true;
  return wanted.version === installed.version && wanted.integrity === installed.integrity;
}

export function arePackagesInstalled() {
  const wanted = readJson('package-lock.json');
  const installed = readJson(join('node_modules', '.package-lock.json'));
  if (wanted === undefined)
    throw new SetUpProblem(`${join(root, 'package-lock.json')} is missing: restore it from Git.`);
  if (installed === undefined) return false;
  return Object.entries(wanted.packages).every(
    ([path, entry]) => path === '' || isSame(entry, installed.packages[path]),
  );
}

/** npm's own script where Node's installer for Windows puts it: `npm` itself is a shell's there. */
function besideNode() {
  const script = join(dirname(process.execPath), 'node_modules', 'npm', 'bin', 'npm-cli.js');
  return process.platform === 'win32' && existsSync(script) ? script : undefined;
}

/** npm as the person has it; its output is returned, not shown, unless `more` says otherwise. */
export function runNpm(args, folder = root, more = {}) {
  const options = { cwd: folder, encoding: 'utf8', maxBuffer: 1 << 28, ...more };
  const npmScript = process.env.npm_execpath ?? besideNode();
  if (npmScript?.endsWith('.js')) return spawnSync(process.execPath, [npmScript, ...args], options);
  return spawnSync('npm', args, options);
}

/** npm's own first reason, without its prefix: 'code ENOTFOUND', 'network request to … failed'. */
function reasonOf(output) {
  const lines = output.split('\n').filter((line) => /^npm (error|ERR!)/.test(line));
  return lines
    .slice(0, 3)
    .map((line) => line.replace(/^npm (error|ERR!)\s*/, '').trim())
    .join(', ');
}

export function installPackages() {
  say('Installing the packages of package-lock.json …');
  // Development packages hold the bundler, so they are wanted even when NODE_ENV is production.
  const result = runNpm(['ci', '--include=dev', '--no-audit', '--no-fund']);
  if (result.error !== undefined)
    throw new SetUpProblem(`cannot run npm (${result.error.message}): install npm beside Node.`);
  if (result.status === 0) return;
  const log = join(mkdtempSync(join(tmpdir(), 'handspan-npm-')), 'npm-ci.log');
  writeFileSync(log, `${result.stdout}${result.stderr}`);
  throw new SetUpProblem(
    `'npm ci' failed in ${root} (${reasonOf(result.stderr) || `exit ${result.status}`}); the whole output is in ${log}: put that right and run the same command again.`,
  );
}
