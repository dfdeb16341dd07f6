/**
 * The set-up before anything is installed: what it says and how it ends, each case in a project of
 * its own made of the real scripts.
 */
import { spawnSync } from 'node:child_process';
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach, describe, expect, test } from 'vitest';
import { isInRange } from '../scripts/set-up/node-version.mjs';

/** `>=` and `^` as https://docs.npmjs.com/cli/using-npm/package-spec and node-semver define them. */
const ranges: readonly (readonly [version: string, range: string, isIn: boolean])[] = [
  ['20.19.0', '^20.19.0 || >=22.12.0', true],
  ['20.20.2', '^20.19.0 || >=22.12.0', true],
  ['20.18.9', '^20.19.0 || >=22.12.0', false],
  ['21.7.3', '^20.19.0 || >=22.12.0', false],
  ['22.11.0', '^20.19.0 || >=22.12.0', false],
  ['22.12.0', '^20.19.0 || >=22.12.0', true],
  ['26.0.0', '^20.19.0 || >=22.12.0', true],
  ['23.11.1', '^20.19.0 || ^22.12.0 || >=24.0.0', false],
  ['24.0.0', '^20.19.0 || ^22.12.0 || >=24.0.0', true],
  ['18.20.8', '^20.19.0 || >=22.12.0', false],
  ['9.99.99', '>=10.0.0', false],
];

test.each(ranges)('Node %s in %s: %s', (version, range, isIn) => {
  expect(isInRange(version, range)).toBe(isIn);
});

test('the list of licences is that of the packages that are installed', () => {
  const { status, stderr } = spawnSync(process.execPath, ['scripts/licences.mjs', '--check'], {
    encoding: 'utf8',
  });
  expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
});

/** Fails as npm does without a network (wording of npm 11). */
const fakeNpm = `
  const [command] = process.argv.slice(2);
  process.stderr.write('npm error code ENOTFOUND\\nnpm error syscall getaddrinfo\\n');
  process.exit(command === 'ci' ? 1 : 3);
`;

describe('a set-up that cannot go on', () => {
  const folders: string[] = [];
  afterEach(() => {
    for (const folder of folders.splice(0)) rmSync(folder, { recursive: true });
  });

  /** A project with the real scripts and locks, changed by `change`; then its set-up is run. */
  function setUpIn(change: (folder: string) => void) {
    const folder = mkdtempSync(join(tmpdir(), 'handspan-project-'));
    folders.push(folder);
    cpSync('scripts', join(folder, 'scripts'), { recursive: true });
    for (const name of ['package.json', 'package-lock.json']) cpSync(name, join(folder, name));
    // On Windows a junction needs no rights of its own; elsewhere it is any link.
    symlinkSync(join(process.cwd(), 'node_modules'), join(folder, 'node_modules'), 'junction');
    change(folder);
    // Stands in for npm: the real one could empty the node_modules that is linked here.
    writeFileSync(join(folder, 'npm.js'), fakeNpm);
    const env = { ...process.env, npm_execpath: join(folder, 'npm.js') };
    return spawnSync(process.execPath, ['scripts/set-up.mjs'], {
      cwd: folder,
      encoding: 'utf8',
      env,
    });
  }

  test('for an old Node says which is needed', () => {
    const { status, stdout, stderr } = setUpIn((folder) => {
      const project = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
      project.engines.node = '>=99.0.0';
      writeFileSync(join(folder, 'package.json'), JSON.stringify(project));
    });
    expect({ status, stdout }).toEqual({ status: 1, stdout: '' });
    expect(stderr).toBe(
      `Handspan set-up: this is Node ${process.versions.node}, and Handspan needs >=99.0.0: install a current Node and run the same command again.\n`,
    );
  });

  test('started through a link it is still run', () => {
    const { status, stderr } = setUpIn((folder) => {
      rmSync(join(folder, 'package-lock.json'));
      cpSync(join(folder, 'scripts'), join(folder, 'real'), { recursive: true });
      rmSync(join(folder, 'scripts'), { recursive: true });
      symlinkSync(join(folder, 'real'), join(folder, 'scripts'), 'junction');
    });
    expect(status).toBe(1);
    expect(stderr).toMatch(/package-lock.json is missing/);
  });

  test('without a lock file says so', () => {
    const { status, stderr } = setUpIn((folder) => rmSync(join(folder, 'package-lock.json')));
    expect(status).toBe(1);
    expect(stderr).toMatch(/^Handspan set-up: .*package-lock\.json is missing: .*\n$/);
  });

  test('without the network says what npm said and where the rest is', () => {
    const { status, stdout, stderr } = setUpIn((folder) => rmSync(join(folder, 'node_modules')));
    expect({ status, stdout }).toEqual({ status: 1, stdout: '' });
    expect(stderr).toMatch(
      /^Installing .* …\nHandspan set-up: 'npm ci' failed in .* \(code ENOTFOUND, syscall getaddrinfo\); .*\n$/,
    );
  });

  test('for a source that does not build names file and line', () => {
    const { status, stdout, stderr } = setUpIn((folder) => {
      writeOtherPrograms(folder);
      writeFileSync(join(folder, 'src', 'cli.ts'), "\n\nimport './missing.ts';\n");
    });
    expect({ status, stdout }).toEqual({ status: 1, stdout: '' });
    expect(stderr).toMatch(/^Building dist\/ …\nHandspan set-up: .*src\/cli\.ts:3: .*\n$/);
  });

  test('builds, then is silent until a source changes', () => {
    const write = (where: string, name: string, text: string) =>
      writeFileSync(join(where, 'src', name), text);
    const first = setUpIn((copy) => {
      writeOtherPrograms(copy);
      write(copy, 'cli.ts', "const { say } = await import('./say.ts');\nsay();\n");
      write(copy, 'say.ts', "export const say = () => process.stdout.write('one');\n");
    });
    const [folder = ''] = folders;
    const run = () =>
      spawnSync(process.execPath, ['scripts/handspan.mjs'], { cwd: folder, encoding: 'utf8' });
    const second = run();
    write(folder, 'say.ts', "export const say = () => process.stdout.write('two');\n");
    const third = run();
    expect([first, second, third].map(({ stderr, stdout }) => [stderr, stdout])).toEqual([
      ['Building dist/ …\n', ''],
      ['', 'one'],
      ['Building dist/ …\n', 'two'],
    ]);
  });
});

/** What is built beside the command line, as the recipe lists it; here empty. */
function writeOtherPrograms(folder: string): void {
  const recipe = readFileSync(join('scripts', 'set-up', 'program.mjs'), 'utf8');
  for (const [, path = ''] of recipe.matchAll(/'(src\/io\/[^']+)'/g)) {
    const file = join(folder, path);
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, 'export {};\n');
  }
}
