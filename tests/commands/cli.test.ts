/** The entry as a process of its own: environment, closed pipes, errors nobody expected. */
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build } from 'esbuild';
import { afterAll, beforeAll, expect, test } from 'vitest';

const root = join(import.meta.dirname, '..', '..');
const folder = join(root, 'node_modules', '.cache', 'handspan-tests', 'cli');
const cli = join(folder, 'cli.js');
const home = mkdtempSync(join(tmpdir(), 'handspan-home-'));
/** Packages that the entry's static imports reach, thus before its first statement. */
let packagesAtOnce: readonly string[] = [];

beforeAll(async () => {
  const { metafile } = await build({
    absWorkingDir: root,
    entryPoints: { cli: 'src/cli.ts', 'engine-worker': 'src/io/engine/engine-worker.ts' },
    outdir: folder,
    bundle: true,
    splitting: true,
    platform: 'node',
    format: 'esm',
    packages: 'external',
    metafile: true,
    logLevel: 'error',
  });
  const importsOf = (output: string) =>
    (metafile.outputs[output]?.imports ?? []).filter(({ kind }) => kind === 'import-statement');
  const entry = Object.keys(metafile.outputs).find((name) => name.endsWith('/cli/cli.js')) ?? '';
  const reached = new Set([entry]);
  const packages = new Set<string>();
  for (const output of reached) {
    for (const { path, external } of importsOf(output)) (external ? packages : reached).add(path);
  }
  packagesAtOnce = [...packages];
});

afterAll(() => {
  rmSync(home, { recursive: true });
});

const environment = (more: NodeJS.ProcessEnv = {}) => {
  const { NODE_ENV: _, ...inherited } = process.env;
  return { ...inherited, HANDSPAN_HOME: home, ...more };
};

const run = (argv: readonly string[], more?: NodeJS.ProcessEnv, preload = '') =>
  spawnSync(
    process.execPath,
    [...(preload === '' ? [] : ['--import', `data:text/javascript,${preload}`]), cli, ...argv],
    { encoding: 'utf8', env: environment(more) },
  );

test('exit codes and streams reach the shell', () => {
  const fine = run(['presets', 'folder']);
  expect([fine.status, fine.stdout, fine.stderr]).toEqual([0, `${join(home, 'presets')}\n`, '']);
  const failed = run(['presets', 'show', 'nothing-like-it']);
  expect([failed.status, failed.stdout]).toEqual([1, '']);
  const misused = run(['prots']);
  expect([misused.status, misused.stdout]).toEqual([2, '']);
  expect(misused.stderr).toBe(
    "handspan: there is no command 'prots' (nearest: 'ports'). Try 'handspan help'.\n",
  );
});

test('NODE_ENV is production unless it is set, before any package is imported', () => {
  const report = "process.on('exit',()=>process.stderr.write(process.env.NODE_ENV))";
  expect(run(['--version'], {}, report).stderr).toBe('production');
  expect(run(['--version'], { NODE_ENV: 'test' }, report).stderr).toBe('test');
  expect(packagesAtOnce).toEqual([]);
});

test('an unexpected error is one sentence and exit code 1; the stack only when asked for', () => {
  const spoil = "process.stdout.write=()=>{throw new Error('a fault for the test')}";
  const plain = run(['presets', 'folder'], {}, spoil);
  expect(plain.status).toBe(1);
  expect(plain.stderr).toBe(
    'handspan: unexpected error: a fault for the test. Set HANDSPAN_DEBUG=1 to see where.\n',
  );
  const debugging = run(['presets', 'folder'], { HANDSPAN_DEBUG: '1' }, spoil);
  expect(debugging.status).toBe(1);
  expect(debugging.stderr).toMatch(/unexpected error: Error: a fault for the test\n\s+at /);
});

test.each([
  ['an error', "setImmediate(()=>{throw new Error('late')})"],
  ['a rejection', "Promise.reject(new Error('late'))"],
])('%s outside the command is caught as well', (_what, fault) => {
  const { status, stderr } = run(
    ['presets', 'folder'],
    {},
    `process.stdout.write=()=>{${fault};return true}`,
  );
  expect([status, stderr]).toEqual([
    1,
    'handspan: unexpected error: late. Set HANDSPAN_DEBUG=1 to see where.\n',
  ]);
});

test('as JSON, the answers of a take stand on standard output and name their order', () => {
  const orders = ['record', 'play C', 'record', 'keep', 'let go', 'quit'];
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [cli, 'play', '--rehearse', '--json'],
    { encoding: 'utf8', env: environment(), input: `${orders.join('\n')}\n` },
  );
  expect([status, stderr]).toEqual([0, '']);
  const lines = stdout.trim().split('\n');
  const answers = lines.map((line) => JSON.parse(line)).filter(({ said }) => said !== undefined);
  expect(answers.map(({ order }) => order)).toEqual(['record', 'record', 'keep']);
  // On a slow machine the chord may come after the take.
  expect(answers[1]?.said).toMatch(/^(The take is kept as|Recording ended)/);
});

test('a reader that closes the pipe is no error', async () => {
  const child = spawn(process.execPath, [cli, 'presets', '--json'], { env: environment() });
  child.stdout.destroy();
  let complaints = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    complaints += text;
  });
  const code = await new Promise((resolve) => child.on('close', resolve));
  expect([code, complaints]).toEqual([0, '']);
});
