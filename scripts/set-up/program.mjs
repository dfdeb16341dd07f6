/**
 * The built program, dist/: one file per entry point plus the chunks they share.
 *
 * Split on purpose: dist/cli.js sets NODE_ENV before it loads a command with import(), and a single
 * bundle would hoist React above that line. Packages stay outside; JSON from shared/ goes inside.
 * A worker, and a process of its own, is an entry too. Every output lies in dist/ itself, so from
 * any chunk the worker is `new URL('./engine-worker.js', import.meta.url)`.
 */
import { createHash } from 'node:crypto';
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { basename, join } from 'node:path';
import { SetUpProblem, say } from './problem.mjs';
import { readJson, root } from './root.mjs';

const entryPoints = {
  cli: 'src/cli.ts',
  'engine-worker': 'src/io/engine/engine-worker.ts',
  engraver: 'src/io/engraving/engraver.ts',
  'sound-process': 'src/io/sound/sound-process.ts',
};
const outputFolder = join(root, 'dist');
const stampPath = join('dist', '.stamp.json');
const recipe = join('scripts', 'set-up', 'program.mjs');

/** What every bundle of the project has in common, the program as well as its development tools. */
export const commonOptions = {
  absWorkingDir: root,
  bundle: true,
  packages: 'external',
  platform: 'node',
  format: 'esm',
  target: 'node20',
  sourcemap: 'linked',
  logLevel: 'silent',
};

export const programOptions = {
  ...commonOptions,
  entryPoints,
  outdir: outputFolder,
  splitting: true,
  metafile: true,
  write: false,
};

const hashOf = (path) => {
  const full = join(root, path);
  return existsSync(full) ? createHash('sha256').update(readFileSync(full)).digest('hex') : '';
};

/** True when dist/ was made from exactly the files that are there now. */
export function isProgramBuilt() {
  const stamp = readJson(stampPath);
  if (stamp === undefined) return false;
  const isUnchanged = ([path, hash]) => hashOf(path) === hash;
  return (
    Object.entries(stamp.inputs).every(isUnchanged) &&
    stamp.outputs.every((name) => existsSync(join(outputFolder, name)))
  );
}

/**
 * esbuild's first message as one sentence's worth: 'src/cli.ts:3: Could not resolve "./x.ts"'.
 * @param {unknown} error what esbuild threw
 */
export function firstMessageOf(error) {
  const [message] = error.errors ?? [];
  if (message === undefined) throw error;
  const place = message.location ? `${message.location.file}:${message.location.line}: ` : '';
  return `${place}${message.text}`;
}

async function bundle() {
  const { build } = await import('esbuild');
  try {
    return await build(programOptions);
  } catch (error) {
    throw new SetUpProblem(`the build failed at ${firstMessageOf(error)}: correct that file.`);
  }
}

/** Written beside and renamed, so that a program that starts meanwhile never reads half a file. */
function replaceFile(path, contents) {
  writeFileSync(`${path}.new`, contents);
  renameSync(`${path}.new`, path);
}

const isEntry = (name) => Object.keys(entryPoints).some((entry) => name.startsWith(`${entry}.js`));

export async function buildProgram() {
  say('Building dist/ …');
  const { outputFiles, metafile } = await bundle();
  const outputs = outputFiles.map(({ path }) => basename(path));
  mkdirSync(outputFolder, { recursive: true });
  // Chunks first: an entry point must never be there before what it imports.
  for (const isEntryTurn of [false, true]) {
    for (const { path, contents } of outputFiles) {
      if (isEntry(basename(path)) === isEntryTurn) replaceFile(path, contents);
    }
  }
  for (const name of readdirSync(outputFolder)) {
    if (!outputs.includes(name)) rmSync(join(outputFolder, name), { recursive: true });
  }
  const inputs = [...Object.keys(metafile.inputs), recipe, 'package-lock.json'];
  replaceFile(
    join(root, stampPath),
    JSON.stringify({
      inputs: Object.fromEntries(inputs.map((path) => [path, hashOf(path)])),
      outputs,
    }),
  );
}
