/**
 * Writes shared/licences.json: every package that Handspan brings along where it is installed, with
 * its version and its licence as its own package.json states them. Optional packages for another
 * system than this are taken from the lock file.
 *
 *   node scripts/licences.mjs [--check]
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { endWith, SetUpProblem } from './set-up/problem.mjs';
import { readJson, root } from './set-up/root.mjs';

const file = join(root, 'shared', 'licences.json');

function licenceOf(path, entry) {
  const { license = entry.license } = readJson(join(path, 'package.json')) ?? {};
  return typeof license === 'string' ? license : (license?.type ?? 'not stated');
}

function list() {
  const { packages } = readJson('package-lock.json');
  return Object.entries(packages)
    .filter(([path, { dev, devOptional }]) => path !== '' && dev !== true && devOptional !== true)
    .map(([path, entry]) => ({
      package: path.slice(path.lastIndexOf('node_modules/') + 'node_modules/'.length),
      version: entry.version,
      licence: licenceOf(path, entry),
    }))
    .sort((one, other) => (one.package < other.package ? -1 : 1));
}

try {
  const text = `${JSON.stringify(list(), null, 2)}\n`;
  if (!process.argv.includes('--check')) writeFileSync(file, text);
  else if (readFileSync(file, 'utf8') !== text)
    throw new SetUpProblem(
      'shared/licences.json is not what is installed: run node scripts/licences.mjs.',
    );
} catch (error) {
  endWith(error);
}
