/**
 * The end-to-end tests among real ALSA clients: bundles tests/e2e and runs it inside
 * scripts/alsa-rig. Where the rig boots a kernel it boots two, each with half of the tests: most of
 * the time a guest waits for a player or for one processor. What the second prints comes at the end.
 * Options of the rig may be given: `npm run test:alsa -- --boot`.
 */
import { spawn, spawnSync } from 'node:child_process';
import { accessSync, constants, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { endWith, SetUpProblem } from './set-up/problem.mjs';
import { cacheFolder, root } from './set-up/root.mjs';
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
/** The rig's own failure, not the command's. */
const codeOfRig = 125;
const rig = join(root, 'scripts', 'alsa-rig');
const given = process.argv.slice(2);
const options = ['--seconds', secondsAtMost, ...given];

function hasSequencer() {
  try {
    accessSync('/dev/snd/seq', constants.R_OK | constants.W_OK);
    return true;
  } catch {
    return false;
  }
}

/** Runs a file of tests in the rig. Resolves with the exit code and all that was printed. */
async function runOnce(tests, isPrintedAtOnce, patterns) {
  const child = spawn(
    rig,
    [...options, '--', ...runner, ...patterns, '--enable-source-maps', tests],
    { cwd: root, stdio: ['ignore', 'pipe', 'inherit'] },
  );
  const printed = [];
  child.stdout.on('data', (chunk) => {
    printed.push(chunk);
    if (isPrintedAtOnce) process.stdout.write(chunk);
  });
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (code) => {
      resolve({ code: code ?? 1, text: String(Buffer.concat(printed)) });
    });
  });
}

/** The outermost suites and tests that failed, by the reporter's lines. */
function failedSuites(text) {
  const [report] = text.split('\n✖ failing tests:');
  return [...report.matchAll(/^✖ (.+) \([\d.]+ms\)$/gm)].map(([, name]) => name);
}

const literally = (name) => name.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&');

/**
 * Runs a file of tests, and what failed of it once more where the rig says that the emulator was at
 * fault. Resolves with the exit code and what was not printed yet.
 */
async function runTests(file, isPrintedAtOnce) {
  const tests = await bundleTool(`tests/e2e/${file}`);
  const began = performance.now();
  let { code, text } = await runOnce(tests, isPrintedAtOnce, []);
  let rest = isPrintedAtOnce ? '' : text;
  const suites = code === codeOfRig ? failedSuites(text) : [];
  if (suites.length > 0) {
    const told = `# ${file}: the emulator was at fault; once more: ${suites.join(', ')}\n`;
    if (isPrintedAtOnce) process.stdout.write(told);
    else rest += told;
    const pattern = `--test-name-pattern=/^(?:${suites.map(literally).join('|')})$/`;
    ({ code, text } = await runOnce(tests, isPrintedAtOnce, [pattern]));
    rest += isPrintedAtOnce ? '' : text;
  }
  const seconds = Math.round((performance.now() - began) / 1000);
  return { code, rest: `${rest}# ${file}: ${seconds} s\n` };
}

/** Files that the guests only play: a chart, and the same voiced anew. */
function writeFiles() {
  const home = mkdtempSync(join(tmpdir(), 'handspan-home-'));
  // Nothing has been bundled in a fresh checkout.
  mkdirSync(cacheFolder, { recursive: true });
  const [chart, again] = ['chart', 'again'].map((name) => join(cacheFolder, `${name}.mid`));
  const text = 'tempo: 240\n| Dm7 | G7 | Cmaj7 | A7(b9) |';
  for (const args of [
    ['chart', text, '--preset', 'fourths-over-root', '--midi', chart],
    ['revoice', chart, '--preset', 'drop-2-sevenths', '--out', again],
  ]) {
    const { status, stderr } = spawnSync(
      process.execPath,
      [join(root, 'dist', 'cli.js'), ...args, '--force'],
      { env: { ...process.env, HANDSPAN_HOME: home }, encoding: 'utf8' },
    );
    if (status !== 0) throw new SetUpProblem(`'handspan ${args[0]}' failed: ${stderr.trim()}`);
  }
  rmSync(home, { recursive: true });
}

try {
  await setUp();
  writeFiles();
  // Processes that the tests start, from beside the tests.
  await bundleTool('tests/helpers/host-process.ts');
  await bundleTool('tests/helpers/echo-worker.ts');
  const isOwn = hasSequencer() && !given.includes('--boot');
  // Two at a time would install and fetch the same things.
  if (!isOwn) {
    const { status } = spawnSync(rig, ['--prepare', ...given], { cwd: root, stdio: 'inherit' });
    if (status !== 0) process.exit(status ?? 1);
  }
  const files = isOwn ? ['main.ts'] : ['first-guest.ts', 'second-guest.ts'];
  const runs = await Promise.all(files.map((file, at) => runTests(file, at === 0)));
  for (const { rest } of runs) process.stdout.write(rest);
  process.exitCode = runs.find(({ code }) => code !== 0)?.code ?? 0;
} catch (error) {
  endWith(error);
}
